package wording

import (
	"fmt"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
)

// photoRefusals are those of what is said of photos and cards.
var photoRefusals = table{
	entry.NoSuchPhoto: func(r *refusal) Words {
		return Words{fmt.Sprintf("there is no photo %q in this journal"+nothing, r.Name),
			"one that lies in the inbox still is taken in first: rakelight take"}
	},
	entry.SeveralPhotos: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s names %d photos"+nothing, r.Name, len(r.Known)),
			"write more digits of the one you mean: " + list(r.Known[:min(len(r.Known), 2)]) + ", …"}
	},
	entry.SamePhoto: func(*refusal) Words { return Words{What: "both names are of one photo"} },
	entry.OfCards: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s shows bench cards and not the work"+nothing, r.Photo.Name),
			"mark a photo of the work itself; " + journal.Typed("rakelight why %s", r.Photo.Short()) +
				" tells what this one shows"}
	},
	entry.AClip: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s is a clip, and photos are compared with photos"+nothing, r.Photo.Name),
			"take a picture out of it with a video program, and drop that in"}
	},
	entry.NoCards: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("no card was found in %s"+nothing, r.Photo.Name)}
	},
	entry.NotKnown: func(r *refusal) Words {
		if r.Field == "clear" {
			return Words{What: fmt.Sprintf("--clear %s: there is no such tag; there are %s", r.Name, list(r.Known))}
		}
		return Words{What: fmt.Sprintf("--%s %s is not known; it is one of %s", r.Field, r.Name, list(r.Known))}
	},
	entry.NoHash: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("%q is no picture of the years before"+nothing, r.Name)}
	},
	entry.NothingToSet: func(*refusal) Words {
		return Words{"nothing to set: name a build, a stage or a flag", "rakelight help tag lists them"}
	},
	entry.SpotsFar: func(r *refusal) Words {
		return Words{fmt.Sprintf("the spots are %.0f of %d pixels off on average, more than %.0f %% of the width: nothing was written",
			r.Spots.Off, r.Spots.Width, 100*entry.MostOff), sameSpots}
	},
	entry.SpotsTurned: func(r *refusal) Words {
		return Words{fmt.Sprintf("the spots turn the photo by %.0f°, more than %d°: nothing was written", r.Spots.Turn,
			entry.MostTurn), sameSpots}
	},
	entry.BeforePhotos: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("%s is before the first photograph, of %d"+nothing, r.At.Format(time.DateOnly),
			journal.FirstPhoto)}
	},
	entry.AlikeAlready: func(r *refusal) Words {
		return Words{What: list(r.Known) + " were called alike before, by " + r.Record + nothing}
	},
	entry.UnlikeAlready: func(r *refusal) Words {
		return Words{What: list(r.Known) + " were called not alike before, by " + r.Record + nothing}
	},
	entry.TaggedUnlike: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s differ in %s by their tags"+nothing, list(r.Known), r.Field),
			"correct the tag that is wrong: rakelight help tag"}
	},
	entry.NoMeasure:       func(r *refusal) Words { return Words{What: r.Err.Error()} },
	entry.SpotsNothing:    func(r *refusal) Words { return Words{What: r.Err.Error()} },
	entry.ClockImpossible: func(r *refusal) Words { return Words{What: r.Err.Error()} },
}

// privateRefusals are those of what a person keeps to themselves.
var privateRefusals = table{
	entry.NothingPrivate: func(*refusal) Words {
		return Words{"name photos, a build or a day", "rakelight help private tells what each means"}
	},
	entry.PrivateAlready: func(r *refusal) Words {
		return Words{r.Name + " is private already" + nothing, ""}
	},
	entry.NotPrivate: func(r *refusal) Words {
		return Words{r.Name + " is not private itself" + nothing,
			"a photo is also private with its build and with its day; show those again"}
	},
	entry.PrivateByHand: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s is private because %s says so"+nothing, r.Name, r.File),
			"take the line private: true out of it"}
	},
}

// sameSpots is what to do about spots that hardly agree.
const sameSpots = "look that each spot is the same in both photos, in the order first=second; --anyway keeps them as they are"

// judgingRefusals are those of marks, verdicts and answers.
var judgingRefusals = table{
	entry.NoCriterion: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("there is no criterion %d; rakelight mark lists the twelve", r.Number)}
	},
	entry.NoScore: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("%d is no score; it is 0 to %d, or na", r.Number, journal.TopScore)}
	},
	entry.NoOutcome: func(*refusal) Words { return Words{What: "say left, right, no difference or cannot tell"} },
	entry.OwnersName: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("%q would be taken for you; without --judge you judge yourself", r.Name)}
	},
	entry.SheetOwner: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s: the judge is called %q, as you are here"+noAnswers, r.File, r.Name),
			"--mine if you filled in the pack yourself, --judge NAME if somebody else did"}
	},
	entry.UnknownPack: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s: it answers the pack %s, which this journal does not know"+noAnswers, r.File,
			r.Name),
			"a pack made on another computer is known here once that computer's records/ have arrived"}
	},
	entry.OtherPack: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("%s: it speaks of %d pairs, and pack %s has %d"+noAnswers, r.File, r.Count,
			r.Name, r.There)}
	},
	entry.UnknownPair: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("%s: it answers a pair %s that pack %s does not hold"+noAnswers, r.File, r.Part,
			r.Name)}
	},
	entry.OtherSheet: func(r *refusal) Words {
		w := Words{fmt.Sprintf("%s: %s has answered pack %s on another sheet"+noAnswers, r.File,
			journal.JudgeCalled(r.Judge), r.Name), "another person of that name: --judge NAME"}
		if r.Record != "" {
			w.Hint += "; the same one, whose new answers shall count: first " +
				journal.Typed("rakelight retract %s", r.Record)
		}
		return w
	},
	entry.SheetOfOther: func(r *refusal) Words {
		w := Words{fmt.Sprintf("%s: this sheet was taken as %s already"+noAnswers, r.File, ofJudge(r.Judge)),
			"one sheet is one person's: name the files of one judge in a command"}
		if r.Record != "" {
			w.Hint = "one sheet is one person's; if it is not " + ofJudge(r.Judge) + ", first " +
				journal.Typed("rakelight retract %s", r.Record)
		}
		return w
	},
}

// noAnswers ends a refusal of answers.
const noAnswers = ": no answers taken"

// ofJudge is a judge's own, as the owner reads it.
func ofJudge(judge string) string {
	if judge == "" {
		return "yours"
	}
	return judge + "’s"
}

// skillRefusals are those of mistakes and trials.
var skillRefusals = table{
	entry.NoKind: func(*refusal) Words { return Words{What: "say in a word or two what kind of mistake it was"} },
	entry.NoLoss: func(*refusal) Words {
		return Words{What: "--lost takes less than a day, such as --lost \"15 min\""}
	},
	entry.NoCard:  func(*refusal) Words { return Words{What: "--card takes the number on the card"} },
	entry.NoWords: func(*refusal) Words { return Words{What: "it says nothing yet: add the words"} },
	entry.TrialRuns: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s is on trial already as %s: no trial begun", r.Trial.What, r.Trial.ID),
			fmt.Sprintf("%s adds to it; %s closes it", journal.Typed("rakelight trial note %s TEXT", r.Trial.ID),
				journal.Typed("rakelight trial review %s TEXT", r.Trial.ID))}
	},
	entry.CardRuns: func(r *refusal) Words {
		return Words{fmt.Sprintf("bench card %d belongs to the trial of %s, %s, which is running: no trial begun",
			r.Number, r.Trial.What, r.Trial.ID),
			fmt.Sprintf("take another card; %s closes that one",
				journal.Typed("rakelight trial review %s TEXT", r.Trial.ID))}
	},
	entry.CardBelonged: func(r *refusal) Words {
		return Words{fmt.Sprintf("bench card %d belonged to the trial of %s, %s, until %s: no trial begun", r.Number,
			r.Trial.What, r.Trial.ID, r.At.Format(time.DateOnly)),
			"begin after that day, or with another card"}
	},
	entry.TrialReviewed: func(r *refusal) Words {
		return Words{fmt.Sprintf("the trial of %s was reviewed on %s: nothing noted", r.Trial.What,
			r.At.Format(time.DateOnly)),
			fmt.Sprintf("%s reviews it again; %s begins a new one",
				journal.Typed("rakelight trial review %s TEXT", r.Trial.ID),
				journal.Typed("rakelight trial begin %s", r.Trial.What))}
	},
}
