// Package entry is the door to the journal: each thing a person can say to it,
// checked, and then written down.
//
// Start with Do. A Request is one thing said: Begin, Done, Tag, Mark. Its Plan
// tells, from a look at the journal and without touching it, which records it
// would add; Preview shows what would be true then. What may not be said is a
// *Refusal, and what the person should know is a Remark. Both are values: package
// wording makes words of them, and a page may show them in another way.
//
// Whoever lets a person say something (commands, served pages, cards' words that
// are typed) comes through here, so that each rule stands once. Only photos come
// another way, through media/inbox. Of what is told elsewhere this package takes
// plain values: it reads no flag, opens no file and prints nothing.
package entry

import (
	"encoding/json"
	"slices"
	"time"

	"rakelight/journal"
)

// Request is one thing a person says.
type Request interface {
	// Plan checks it against the journal as it is at one moment. An error is a
	// *Refusal, or says that a name or a part was not understood
	// (*journal.AskError); nothing is added then.
	Plan(l journal.Look) (Plan, error)
}

// Plan is what a request would do.
type Plan struct {
	Add     []journal.Body
	Remarks []Remark
}

// Outcome is what a request did.
type Outcome struct {
	Plan
	Records []journal.Record // as they were written, one each of Add
	State   *journal.State   // with them
	Again   bool             // it was written before (DoOnce): Records are those, Plan is empty
}

// Do writes down what a person says. It is checked against the journal as it is
// while no other process can write, so of two that say what excludes each other
// one is refused. Nothing is written in part.
func Do(j *journal.Journal, r Request) (Outcome, error) { return DoAll(j, r) }

// DoAll writes down several things said at once, all or none of them. Each is
// checked against the journal as it was before: none knows of the others.
func DoAll(j *journal.Journal, all ...Request) (Outcome, error) {
	return do(j, all, func(decide decider) ([]journal.Record, bool, error) {
		records, err := j.AppendFrom(decide)
		return records, false, err
	})
}

// DoOnce is DoAll of what bears an id of its own, which whoever says it gives: 8 to
// 64 random letters, digits, "-" and "_". The same id again writes nothing, also
// after a restart and on a journal that was opened anew, and answers with what was
// written then (Outcome.Again). since is when the id was given, by the clock of
// whoever gave it; one that goes more than a day ahead is refused as NotYet. To ask
// costs the same in a journal of any length: records from that day on are looked
// through. What was refused, or had nothing to write, leaves no id behind.
func DoOnce(j *journal.Journal, id string, since time.Time, all ...Request) (Outcome, error) {
	return do(j, all, func(decide decider) ([]journal.Record, bool, error) {
		return j.AppendOnce(id, since, func(l journal.Look) ([]journal.Body, error) {
			if since.After(l.Now.Add(journal.OnceAhead)) {
				return nil, &Refusal{Reason: NotYet, At: since.In(zone(l.State))}
			}
			return decide(l)
		})
	})
}

type decider = func(journal.Look) ([]journal.Body, error)

// do writes down by a way of appending, which says whether all was written before.
func do(j *journal.Journal, all []Request, write func(decider) ([]journal.Record, bool, error)) (Outcome, error) {
	var out Outcome
	var before *journal.State
	var now time.Time
	records, again, err := write(func(l journal.Look) ([]journal.Body, error) {
		before, now = l.State, l.Now
		for _, r := range all {
			plan, err := r.Plan(l)
			if err != nil {
				return nil, err
			}
			for _, remark := range plan.Remarks {
				if remark.New > 0 {
					remark.New += len(out.Add)
				}
				out.Remarks = append(out.Remarks, remark)
			}
			out.Add = append(out.Add, plan.Add...)
		}
		return out.Add, nil
	})
	if err != nil {
		return Outcome{}, err
	}
	out.Records, out.State, out.Again = records, j.State, again
	for i, remark := range out.Remarks {
		if remark.New > 0 {
			out.Remarks[i].Record = records[remark.New-1].ID()
		}
	}
	if len(records) > 0 && !again {
		out.Remarks = append(out.Remarks, arisen(before, out.State, now)...)
	}
	return out, nil
}

// Preview is what a request would do and the state as it would be then. Nothing
// is written.
func Preview(j *journal.Journal, r Request) (Plan, *journal.State, error) {
	l := j.Look()
	plan, err := r.Plan(l)
	if err != nil {
		return Plan{}, nil, err
	}
	after, err := l.Suppose(plan.Add...)
	if err != nil {
		return Plan{}, nil, err
	}
	plan.Remarks = append(plan.Remarks, arisen(l.State, after, l.Now)...)
	return plan, after, nil
}

// Sessions are the sessions that the records are of, as they are with them, each
// once, in the order of the records.
func (o Outcome) Sessions() []*journal.Session {
	var all []*journal.Session
	for _, r := range o.Records {
		id := r.ID()
		switch r.Kind {
		case "end", "break", "done", "correct", "reopen":
			var of struct {
				Session string `json:"session"`
			}
			if json.Unmarshal(r.Body, &of) == nil {
				id = of.Session
			}
		}
		if s := o.State.Session(id); s != nil && !slices.Contains(all, s) {
			all = append(all, s)
		}
	}
	return all
}

// just is a plan that adds one record.
func just(body journal.Body, remarks ...Remark) (Plan, error) {
	return Plan{Add: []journal.Body{body}, Remarks: remarks}, nil
}
