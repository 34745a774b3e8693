// What a person keeps to themselves: photos, a build, or a day.

package entry

import (
	"cmp"
	"time"

	"rakelight/journal"
)

// Private keeps things from the pages for others, or shows them again.
type Private struct {
	Photos []string
	Build  string // with Date, that day of this build alone
	Date   string // YYYY-MM-DD, "" = none
	Not    bool   // they are shown again
	At     time.Time
}

// Plan names each thing once, and refuses what would change nothing. What a file of
// the person's own says is not the record's to take back.
func (r Private) Plan(l journal.Look) (Plan, error) {
	at, err := moment(l, r.At)
	if err != nil {
		return Plan{}, err
	}
	var plan Plan
	for _, name := range r.Photos {
		p, err := Photo(l.State, name)
		if err != nil {
			return Plan{}, err
		}
		if err := r.changes(l, journal.Private{Photo: p.Hash}, p.Short()); err != nil {
			return Plan{}, err
		}
		plan.Add = append(plan.Add, journal.PrivateBody{Photo: p.Hash, Not: r.Not, At: at})
	}
	if r.Build == "" && r.Date == "" {
		if len(plan.Add) == 0 {
			return Plan{}, &Refusal{Reason: NothingPrivate}
		}
		return plan, nil
	}
	what := journal.Private{Date: r.Date}
	if _, err := time.Parse(time.DateOnly, r.Date); r.Date != "" && err != nil {
		return Plan{}, &Refusal{Reason: NoDay, Name: r.Date}
	}
	if r.Build != "" {
		b, err := l.ResolveBuild(r.Build)
		if err != nil {
			return Plan{}, err
		}
		what.Build = b.ID
	}
	if err := r.changes(l, what, cmp.Or(r.Date, what.Build)); err != nil {
		return Plan{}, err
	}
	plan.Add = append(plan.Add, journal.PrivateBody{Build: what.Build, Date: what.Date, Not: r.Not, At: at})
	return plan, nil
}

// changes refuses what is so already.
func (r Private) changes(l journal.Look, what journal.Private, name string) error {
	said, file := l.SaidPrivate(what) != "", l.PrivateByFile(what)
	switch {
	case !r.Not && said:
		return &Refusal{Reason: PrivateAlready, Name: name}
	case r.Not && !said && file != "":
		return &Refusal{Reason: PrivateByHand, Name: name, File: file}
	case r.Not && !said:
		return &Refusal{Reason: NotPrivate, Name: name}
	}
	return nil
}
