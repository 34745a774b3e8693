package wording

import (
	"fmt"
	"strings"

	"rakelight/journal"
	"rakelight/journal/entry"
)

// shopRefusals are those of what the work is done with.
var shopRefusals = table{
	entry.NoRecipe: func(r *refusal) Words {
		if r.Err != nil {
			return Words{r.Err.Error() + nothing, recipeHint}
		}
		return Words{fmt.Sprintf("%q is not part of a recipe", r.Name) + nothing, recipeHint}
	},
	entry.NoSuchEntry: func(r *refusal) Words {
		return Words{fmt.Sprintf("there is no %s %s to correct", r.Field, r.Name) + nothing,
			"the id stands behind each in the list"}
	},
	entry.NothingNamed: func(r *refusal) Words {
		return Words{"it names neither parts nor a sub-assembly" + nothing,
			journal.Typed("rakelight sanding %s A12 --remove nub", r.Build) + ", or --sub NAME"}
	},
	entry.SayWhich: func(r *refusal) Words {
		return Words{fmt.Sprintf("nothing tells the %s", fieldWords[r.Field]) + nothing,
			fmt.Sprintf("name it with --%s: %s", r.Field, strings.Join(r.Known, ", "))}
	},
	entry.NoSteps: func(r *refusal) Words {
		if r.Err != nil {
			return Words{r.Err.Error() + nothing, stepsHint}
		}
		return Words{fmt.Sprintf("%q has no steps", r.Name) + nothing, stepsHint}
	},
	entry.NoSuchSupply: func(r *refusal) Words {
		w := Words{What: fmt.Sprintf("%q is on no list of supplies of %s", r.Name, r.Build) + nothing}
		if len(r.Known) > 0 {
			w.Hint = "there are: " + strings.Join(r.Known, ", ")
		} else {
			w.Hint = journal.Typed("rakelight supplies %s --add TEXT", r.Build) + " puts one there"
		}
		return w
	},
	entry.SeveralSupplies: func(r *refusal) Words {
		return Words{fmt.Sprintf("%q fits several supplies of %s", r.Name, r.Build) + nothing,
			"say more of its words: " + strings.Join(r.Known, ", ")}
	},
	entry.SuppliesAlike: func(r *refusal) Words {
		if r.Count == 1 {
			return Words{What: fmt.Sprintf("%s is on the list of %s already", r.Name, r.Build) + nothing}
		}
		return Words{fmt.Sprintf("%d supplies of %s are called %s", r.Count, r.Build, r.Name) + nothing,
			fmt.Sprintf("tell them apart in builds/%s/build.md", r.Build)}
	},
	entry.NoSuchTask: func(r *refusal) Words {
		w := Words{What: fmt.Sprintf("%q is on no list of %s", r.Name, r.Build) + nothing}
		if len(r.Known) > 0 {
			w.Hint = "there are: " + strings.Join(r.Known, ", ")
		}
		return w
	},
	entry.SeveralTasks: func(r *refusal) Words {
		return Words{fmt.Sprintf("%q fits several items of the lists of %s", r.Name, r.Build) + nothing,
			"say which with --below, or more of its words: " + strings.Join(r.Known, ", ")}
	},
	entry.NoChange: func(r *refusal) Words { return Words{What: fmt.Sprint(r.Err) + nothing} },
}

const (
	recipeHint = "write it in parts: \"3 red, 1 white, 2 thinner\""
	stepsHint  = "write them like \"P400 on hard block: no step is felt; P600; P800, wet\""
)

// fieldWords are what a sanding plan is for, in words.
var fieldWords = map[string]string{
	"surface": "surface", "finish": "finish", "remove": "kind of thing that is to be removed",
}

// gritLeaps words two steps that do not follow each other well.
func gritLeaps(r entry.Remark) Words {
	from, to := r.Leap.From.Grade(), r.Leap.To.Grade()
	if r.Leap.Coarser {
		return Words{What: fmt.Sprintf("%s after %s is coarser again", to, from)}
	}
	return Words{What: fmt.Sprintf("from %s to %s is more than a doubling: the coarser scratches may stay", from, to)}
}
