// Words for flags that were not understood, and flags that take what a person
// writes.

package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"rakelight/journal/phrase"
)

// flagExamples are values of flags whose shape is not plain from their name.
var flagExamples = map[string]string{
	"lost": `"15 min"`, "at": "19:30", "worked": "1h20", "kit": "2", "count": "12", "pairs": "24", "card": "1",
	"from":  "2026-11-23",
	"begin": "19:40", "end": "20:40", "break": `"20:10 to 20:25"`, "add": "A13", "take": "A4", "runner": "A:24:flat",
	"scale": "1/48",
	"say":   "1f3a9c04", "parts": "A1-A12", "for": "clean", "build": "pilot-boat", "stage": "clean",
	"measured": "47.5", "sheet": "K7QF", "whole": "1f3a9c04", "paper": "A4",
}

// oneOrMany lets --part and --parts mean the same, whichever of them a command
// has: nobody remembers which says one and which says several.
func oneOrMany(fs *pflag.FlagSet) func(*pflag.FlagSet, string) pflag.NormalizedName {
	twin := map[string]string{}
	fs.VisitAll(func(f *pflag.Flag) {
		switch f.Name {
		case "part":
			twin["parts"] = "part"
		case "parts":
			twin["part"] = "parts"
		}
	})
	return func(_ *pflag.FlagSet, name string) pflag.NormalizedName {
		if own := twin[name]; own != "" {
			return pflag.NormalizedName(own)
		}
		return pflag.NormalizedName(name)
	}
}

// flagError says in the words of the terminal what the flag package did not
// understand: the value, and an example where one helps.
func flagError(err error) error {
	such := func(name string) string {
		if example := flagExamples[name]; example != "" {
			return fmt.Sprintf(", such as --%s %s", name, example)
		}
		return ""
	}
	var unknown *pflag.NotExistError
	var bare *pflag.ValueRequiredError
	var value *pflag.InvalidValueError
	var syntax *pflag.InvalidSyntaxError
	switch {
	case errors.As(err, &unknown):
		if unknown.GetSpecifiedShortnames() != "" {
			return &usageError{fmt.Sprintf("there is no flag -%s here; flags are written with two dashes",
				unknown.GetSpecifiedShortnames())}
		}
		return &usageError{fmt.Sprintf("there is no flag --%s here", unknown.GetSpecifiedName())}
	case errors.As(err, &bare):
		return &usageError{fmt.Sprintf("--%s needs a value after it%s", bare.GetFlag().Name, such(bare.GetFlag().Name))}
	case errors.As(err, &value):
		name := value.GetFlag().Name
		var unclear *phrase.Unclear
		var twofold *phrase.Ambiguous
		if errors.As(err, &twofold) || errors.As(err, &unclear) && unclear.Reason != phrase.Word &&
			unclear.Reason != phrase.NoLength {
			return &usageError{fmt.Sprintf("--%s %v", name, value.Unwrap())}
		}
		return &usageError{fmt.Sprintf("--%s: %q is none it takes%s", name, value.GetValue(), such(name))}
	case errors.As(err, &syntax):
		return &usageError{fmt.Sprintf("%q is not a flag", syntax.GetSpecifiedFlag())}
	}
	return &usageError{err.Error()}
}

// minutesFlag is a flag that takes a length of time as a person writes it: a
// bare number is minutes.
func minutesFlag(fs *pflag.FlagSet, name string) *float64 {
	minutes := new(float64)
	fs.Func(name, "", func(text string) error {
		n, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
		if err != nil {
			d, err := phrase.ParseLength(text)
			if err != nil {
				return err
			}
			n = d.Minutes()
		}
		*minutes = n
		return nil
	})
	return minutes
}
