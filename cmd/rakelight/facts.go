// The numbers of pace, skill and forecast as JSON and CSV.

package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"rakelight/journal/metrics"
)

// factFields is what the help of each command says of its fields.
const factFields = `Fields of --json and --csv, one entry a number; what does not apply is absent:
  what      pace, pace at least (if nothing got done on the n evenings without a
            count), pace with rework, hours, learning rate, speed, speed of a cell,
            left out, chain, smallest change (that these evenings could have
            shown, four times in five), more evenings (that would show one of
            20 %), smallest chance (to be picked over a middling one, that these
            pairs could have shown), more pairs (that would show one of two in
            three), chance (that the one build is picked over
            the other), standing (chance that it is picked over a middling one of
            all judged), mark, mark of the stage, drift, agreement (of a judge with
            himself), same verdict again (of pairs judged twice),
            agreement of judges, same answers, practice, hours left,
            weeks left, ready by, hours a week to be ready, uncounted,
            held by 50 % at 25 % done (and so on)
  build     the build it is about      against    the build it is compared with
  kind class finish                    stage kind, part class, final surface
  criterion number of the criterion    known      how the time was known
  value low high                       the number and its interval: 95 % for all but
                                       "left" and "a week", whose low and high hold 80 %
  unit      of value: part/h, h, week, evening, pair, ratio, chance, points, kappa, share
  claimed   of speed, learning rate, chance, standing and drift: whether it may be
            called a change. All claims of a journal are judged together, so that in
            one where nothing changed at most one time in twenty any is true
  n         sessions (pairs, marks or weeks for skill and weeks left;
            evenings for the smallest change; builds for "held")
  parts hours                          what it rests on
  tool week                            of pace --by; the tool as you spelled it first
  rework reopened                      hours of repairs among hours; parts opened again
  why       why there is no value, or a caution
  from      ids of the sessions it rests on
  judge     whose marks or answers, absent for yours    with    the other judge
  judges    names of those whose verdicts a chance rests on; "" is you
  stage     id of a stage without a count
  by        day that build.md says it must be ready by
`

// fact is one number.
type fact struct {
	What      string   `json:"what"`
	Build     string   `json:"build,omitempty"`
	Against   string   `json:"against,omitempty"`
	Kind      string   `json:"kind,omitempty"`
	Class     string   `json:"class,omitempty"`
	Finish    string   `json:"finish,omitempty"`
	Criterion int      `json:"criterion,omitempty"`
	Known     string   `json:"known,omitempty"`
	Value     *float64 `json:"value,omitempty"`
	Low       *float64 `json:"low,omitempty"`
	High      *float64 `json:"high,omitempty"`
	Unit      string   `json:"unit,omitempty"`
	Claimed   *bool    `json:"claimed,omitempty"`
	N         int      `json:"n"`
	Parts     *float64 `json:"parts,omitempty"`
	Hours     *float64 `json:"hours,omitempty"`
	Why       string   `json:"why,omitempty"`
	From      []string `json:"from,omitempty"`
	Judge     string   `json:"judge,omitempty"`
	With      string   `json:"with,omitempty"`
	Judges    []string `json:"judges,omitempty"`
	Tool      string   `json:"tool,omitempty"`
	Week      string   `json:"week,omitempty"`
	Rework    *float64 `json:"rework,omitempty"`
	Reopened  *float64 `json:"reopened,omitempty"`
	Stage     string   `json:"stage,omitempty"`
	By        string   `json:"by,omitempty"`
}

// claim says whether the number is claimed as a change, where it could be.
func (f fact) claim(c metrics.Claim) fact {
	if c.Tested {
		f.Claimed = &c.Claimed
	}
	return f
}

// value sets the number, if there is one.
func (f fact) value(ok bool, v float64, iv metrics.Interval, why string) fact {
	f.Why = why
	// A limit that is nowhere is no number; JSON has none for it.
	number := func(x float64) *float64 {
		if !ok || math.IsInf(x, 0) || math.IsNaN(x) {
			return nil
		}
		return &x
	}
	f.Value = number(v)
	if iv.OK {
		f.Low, f.High = number(iv.Low), number(iv.High)
	}
	if f.Why == "" {
		f.Why = iv.Why.String()
	}
	return f
}

// format is how a command was asked to answer.
type format struct{ json, csv *bool }

func formatFlags(fs *pflag.FlagSet) format {
	return format{fs.Bool("json", false, ""), fs.Bool("csv", false, "")}
}

// check refuses both at once.
func (f format) check([]string) error {
	if *f.json && *f.csv {
		return &usageError{"--json and --csv exclude each other"}
	}
	return nil
}

// table reports whether facts are to be written.
func (f format) table() bool { return *f.json || *f.csv }

func (f format) write(a *app, facts []fact) error {
	if *f.json {
		enc := json.NewEncoder(a.data())
		enc.SetIndent("", "  ")
		enc.SetEscapeHTML(false)
		if facts == nil {
			facts = []fact{}
		}
		return enc.Encode(facts)
	}
	number := func(v *float64) string {
		if v == nil {
			return ""
		}
		return strconv.FormatFloat(*v, 'g', -1, 64)
	}
	w := csv.NewWriter(a.data())
	rows := [][]string{{"what", "build", "against", "kind", "class", "finish", "criterion", "known", "value", "low",
		"high", "unit", "n", "parts", "hours", "why", "from", "judge", "with", "judges", "tool", "week", "rework",
		"reopened", "stage", "by", "claimed"}}
	for _, one := range facts {
		criterion, claimed := "", ""
		if one.Claimed != nil {
			claimed = strconv.FormatBool(*one.Claimed)
		}
		if one.Criterion > 0 {
			criterion = strconv.Itoa(one.Criterion)
		}
		rows = append(rows, []string{one.What, one.Build, one.Against, one.Kind, one.Class, one.Finish, criterion,
			one.Known,
			number(one.Value), number(one.Low), number(one.High), one.Unit, strconv.Itoa(one.N), number(one.Parts),
			number(one.Hours),
			one.Why, strings.Join(one.From, " "), one.Judge, one.With, strings.Join(one.Judges, ", "),
			one.Tool, one.Week, number(one.Rework), number(one.Reopened), one.Stage, one.By,
			claimed})
	}
	if err := w.WriteAll(rows); err != nil {
		return fmt.Errorf("the table was not written: %w", err)
	}
	return nil
}
