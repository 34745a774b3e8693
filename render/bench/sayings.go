// What can be said from the page: which fields make which request of the door. Each
// saying is a request that a command makes too.

package bench

import (
	"cmp"
	"fmt"
	"strings"
	"time"

	"rakelight/journal/entry"
)

// saying turns fields into a request.
type saying func(s said, at time.Time) (entry.Request, error)

// sayings are all that can be said from the page, by name.
var sayings = map[string]saying{
	"begin": func(s said, at time.Time) (entry.Request, error) {
		kit, err := s.number("kit")
		return entry.Begin{Build: s.text("build"), Stage: s.text("stage"), Kit: kit, At: at}, err
	},
	"break": func(_ said, at time.Time) (entry.Request, error) { return entry.Break{At: at}, nil },
	"end": func(s said, at time.Time) (entry.Request, error) {
		if lasted := s.text("lasted"); lasted != "" {
			d, err := lastedFor(lasted)
			return entry.End{Lasted: d}, err
		}
		return entry.End{At: at}, nil
	},
	"correct": func(s said, _ time.Time) (entry.Request, error) {
		correct := entry.Correct{Session: s.text("session"), Accept: s.text("accept") != ""}
		var err error
		if lasted := s.text("lasted"); lasted != "" {
			correct.Lasted, err = lastedFor(lasted)
		}
		return correct, err
	},
	"reopen": func(s said, at time.Time) (entry.Request, error) {
		return entry.Reopen{Build: s.text("build"), Parts: s.text("parts"), Stage: s.text("stage"),
			Why: s.text("why"), At: at}, nil
	},
	"done": func(s said, at time.Time) (entry.Request, error) {
		return entry.Done{Parts: s.text("parts"), Last: s.text("last") != "", At: at}, nil
	},
	"note": func(s said, at time.Time) (entry.Request, error) {
		return entry.Note{Text: s.text("text"), Build: s.text("build"), Parts: s.text("parts"), At: at}, nil
	},
	"mistake": func(s said, at time.Time) (entry.Request, error) {
		return mistakeOf(s, at), nil
	},
	"pause": func(s said, at time.Time) (entry.Request, error) {
		return entry.Pause{Build: s.text("build"), Why: s.text("why"), Next: s.text("next"),
			Waiting: s.text("waiting"), From: at}, nil
	},
	"resume": func(s said, at time.Time) (entry.Request, error) {
		return entry.Resume{Build: s.text("build"), At: at}, nil
	},
	"tag": func(s said, _ time.Time) (entry.Request, error) {
		return entry.Tag{Photos: s.Values["photo"], Series: s.text("series") != "", Build: s.text("build"),
			Stage: s.text("stage"), Role: s.text("role"), View: s.text("view"), Light: s.text("light"),
			Parts: s.text("parts")}, nil
	},
	"alike": func(s said, _ time.Time) (entry.Request, error) {
		answer := s.text("answer")
		return entry.Alike{A: s.text("a"), B: s.text("b"), Not: answer == "no", Tag: answer == "tags"}, nil
	},
	"date": func(s said, _ time.Time) (entry.Request, error) {
		day := cmp.Or(s.text("today"), s.text("day"))
		return entry.Dated{Photos: s.Values["photo"], First: day, Last: day}, nil
	},
	"clock": func(s said, _ time.Time) (entry.Request, error) {
		fast, err := time.ParseDuration(s.text("fast"))
		if err != nil {
			return nil, fmt.Errorf("fast: %q is no length of time", s.text("fast"))
		}
		return entry.Clock{Camera: s.text("camera"), Fast: fast, From: s.text("from"), To: s.text("to")}, nil
	},
	"check": func(s said, at time.Time) (entry.Request, error) {
		return entry.CheckParts{About: about(s, at), State: s.text("state")}, nil
	},
	"prep": func(s said, at time.Time) (entry.Request, error) {
		return entry.Prep{About: about(s, at), Is: s.text("kind"), With: s.text("with"), Angle: s.text("angle"),
			Side: s.text("side")}, nil
	},
	"hold": func(s said, at time.Time) (entry.Request, error) {
		hold := entry.Hold{About: about(s, at), Is: s.text("kind"), Of: s.text("of")}
		if long := cmp.Or(s.text("own"), s.text("long")); long != "" {
			var err error
			if hold.Long, err = curesFor(long); err != nil {
				return nil, err
			}
		}
		return hold, nil
	},
	"release": func(s said, at time.Time) (entry.Request, error) {
		return entry.Release{Hold: s.text("record"), At: at}, nil
	},
	"sub": func(s said, at time.Time) (entry.Request, error) {
		return entry.SubAssembly{About: about(s, at), Name: s.text("name"), Over: s.text("over") != ""}, nil
	},
	"mix": func(s said, at time.Time) (entry.Request, error) {
		coats, err := s.number("coats")
		return entry.Mix{Build: s.text("build"), Name: s.text("name"), Recipe: s.text("recipe"), Coats: coats,
			Batch: s.text("batch"), Parts: s.text("parts"), Text: s.text("text"), At: at}, err
	},
	"addition": func(s said, at time.Time) (entry.Request, error) {
		return entry.Addition{Build: s.text("build"), Kind: s.text("kind"), Text: s.text("text"),
			Where: s.text("where"), Parts: s.text("parts"), At: at}, nil
	},
	"sanding": func(s said, at time.Time) (entry.Request, error) {
		return entry.SandingPlan{Build: s.text("build"), Parts: s.text("parts"), Surface: s.text("surface"),
			Finish: s.text("finish"), Remove: s.text("remove"), At: at}, nil
	},
	"hands": func(s said, at time.Time) (entry.Request, error) {
		return entry.Hands{About: about(s, at), Is: s.text("kind"), Where: s.text("where")}, nil
	},
	"undo": func(s said, _ time.Time) (entry.Request, error) {
		return entry.RetractAll{Records: strings.Fields(s.text("record"))}, nil
	},
}

// about is what an entry of the bench book is about.
func about(s said, at time.Time) entry.About {
	return entry.About{Build: s.text("build"), Parts: s.list("parts"), Text: s.text("text"), Photo: s.text("photo"),
		Instead: s.text("instead"), At: at}
}
