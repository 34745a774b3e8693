package wording

import (
	"fmt"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
)

// bookRefusals are those of the bench book.
var bookRefusals = table{
	entry.NoParts: func(*refusal) Words {
		return Words{"say of which parts, or of which sub-assembly", "parts are written A12 or A1-A4,B3"}
	},
	entry.NoSuchRunner: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s has no runner %s whose parts are told"+nothing, r.Build, r.Name),
			"list its parts in builds/" + r.Build + "/build.md, or name them one by one"}
	},
	entry.NoName: func(*refusal) Words { return Words{What: "say what the sub-assembly is called"} },
	entry.LikeAPart: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s reads as a part or a runner"+nothing, r.Name),
			"give the sub-assembly a name in words: cab, left float"}
	},
	entry.StaysAsFound: func(r *refusal) Words {
		return Words{r.Name + ": as it was found before" + nothing, "name each part to say that it is there"}
	},
	entry.NoSuchSub: func(r *refusal) Words {
		w := Words{fmt.Sprintf("%s has no sub-assembly called %q, and it is no part"+nothing, r.Build, r.Name),
			journal.Typed("rakelight sub %s PARTS --build %s", r.Name, r.Build) + " names one"}
		if len(r.Known) > 0 {
			w.Hint = "its sub-assemblies are " + list(r.Known)
		}
		return w
	},
	entry.UnknownWord: func(r *refusal) Words {
		return Words{fmt.Sprintf("%q is not known here"+nothing, r.Name), "it is one of " + list(r.Known)}
	},
	entry.CuresNot: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("only what cures takes a time and a material; this is %s"+nothing, r.Name)}
	},
	entry.NoCuring: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("%s is not a time to cure"+nothing, journal.Spell(r.Length))}
	},
	entry.HeldAlready: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s: %s since %s already"+nothing, r.Hold.On(), r.Hold.HoldWords(),
			r.At.Format(minute)), journal.Typed("rakelight release %s", r.Hold.Record) + " ends it"}
	},
	entry.NoSuchHold: func(r *refusal) Words {
		if r.Build == "" {
			return Words{fmt.Sprintf("%s is no record of what is held"+nothing, r.Name),
				"rakelight hold lists what is, each with its record"}
		}
		return Words{fmt.Sprintf("nothing is held of %s of %s"+nothing, r.Name, r.Build),
			journal.Typed("rakelight hold --build %s", r.Build) + " lists what is"}
	},
	entry.SeveralHolds: func(r *refusal) Words {
		return Words{fmt.Sprintf("%d things are held of %s: %s"+nothing, len(r.Known), r.Name, list(r.Known)),
			journal.Typed("rakelight release %s", r.Known[0]) + " ends the first: " + r.Hold.HoldWords()}
	},
	entry.HoldsMore: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s is held together with more: %s, %s"+nothing, r.Name, r.Hold.On(),
			r.Hold.HoldWords()), journal.Typed("rakelight release %s", r.Known[0]) + " ends it for all of them"}
	},
	entry.ReleasedAlready: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("%s: %s ended on %s already"+nothing, r.Hold.On(), r.Hold.HoldWords(),
			r.At.Format(minute))}
	},
	entry.HeldLater: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("%s: %s since %s, and cannot have ended before"+nothing, r.Hold.On(),
			r.Hold.HoldWords(), r.At.Format(minute))}
	},
	entry.NotOfKind: func(r *refusal) Words {
		return Words{fmt.Sprintf("there is no such record %s to correct"+nothing, r.Name),
			"a record is corrected by one of its own kind; the lists show their ids"}
	},
	entry.CorrectedAlready: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s was corrected by %s already"+nothing, r.Name, r.Record),
			"correct that one: --instead " + r.Record}
	},
}

// partsLack words what a stage needs and what is not there.
func partsLack(r entry.Remark) Words {
	return Words{"parts are lacking: " + r.Name,
		"once they are here: " + journal.Typed("rakelight runners %s come --build %s", r.Parts, r.Build)}
}

// dryFitAsks words what is asked of parts that were fitted dry. What was said of
// neither is asked first.
func dryFitAsks(r entry.Remark) Words {
	w := Words{What: "before they are glued, say whether the gates were cut together with the mating part, and which pegs were cut"}
	switch {
	case r.Gates == "":
		w.What = "before they are glued, say which pegs were cut, or that none was"
	case r.Pegs == "":
		w.What = "before they are glued, say whether the gates were cut together with the mating part"
	}
	if r.Gates != "" {
		w.Hint = journal.Typed("rakelight prep %s gates-apart --build %s", r.Gates, r.Build)
	}
	if r.Pegs != "" {
		if w.Hint != "" {
			w.Hint += ", or gates-together --with PARTS; "
		}
		w.Hint += journal.Typed("rakelight prep %s pegs TEXT --build %s", r.Pegs, r.Build)
	}
	return w
}

// heldStill words what is noted as held though it may have ended.
func heldStill(r entry.Remark) Words {
	if r.Hold == nil {
		return Words{What: "it is held still"}
	}
	since := r.Hold.At.Format(time.DateOnly)
	return Words{fmt.Sprintf("%s is noted as %s since %s", r.Hold.On(), r.Hold.HoldWords(), since),
		"if that is over: " + journal.Typed("rakelight release %s", r.Hold.Record)}
}
