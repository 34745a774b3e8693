// Words for flags that were not understood, and flags that take what a person
// writes.

package main

import (
	"flag"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"rakelight/journal"
)

// How the flag package words what it does not understand.
var (
	flagUnknown = regexp.MustCompile(`(?s)^flag provided but not defined: -(.*)$`)
	flagBare    = regexp.MustCompile(`(?s)^flag needs an argument: -(.*)$`)
	flagValue   = regexp.MustCompile(`(?s)^invalid (?:boolean )?value "(.*)" for (?:flag )?-([^:]+): (.*)$`)
)

// flagExamples are values of flags whose shape is not plain from their name.
var flagExamples = map[string]string{
	"lost": `"15 min"`, "at": "19:30", "worked": "1h20", "kit": "2", "count": "12", "pairs": "24", "card": "1", "from": "2026-11-23",
	"say": "1f3a9c04", "parts": "A1-A12", "for": "clean", "build": "pilot-boat", "stage": "clean",
	"measured": "47.5", "sheet": "K7QF", "whole": "1f3a9c04", "paper": "A4",
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
	text := err.Error()
	if m := flagUnknown.FindStringSubmatch(text); m != nil {
		return &usageError{fmt.Sprintf("there is no flag --%s here", m[1])}
	}
	if m := flagBare.FindStringSubmatch(text); m != nil {
		return &usageError{fmt.Sprintf("--%s needs a value after it%s", m[1], such(m[1]))}
	}
	if m := flagValue.FindStringSubmatch(text); m != nil {
		why := "is none it takes"
		if m[3] != "parse error" && m[3] != "value out of range" {
			why = "is not understood: " + m[3]
		}
		return &usageError{fmt.Sprintf("--%s: %q %s%s", m[2], m[1], why, such(m[2]))}
	}
	return &usageError{text}
}

// minutesFlag is a flag that takes a length of time as a person writes it: a
// bare number is minutes.
func minutesFlag(fs *flag.FlagSet, name string) *float64 {
	minutes := new(float64)
	fs.Func(name, "", func(text string) error {
		n, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
		if err != nil {
			w, err := journal.ParseWorked(text, time.Time{})
			if err != nil {
				return fmt.Errorf("parse error")
			}
			n = w.Minutes
		}
		*minutes = n
		return nil
	})
	return minutes
}
