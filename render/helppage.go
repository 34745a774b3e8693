// How to use the cards: the one page of help a person prints and keeps at the
// bench.

package render

import (
	"html/template"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/media/card"
)

// HelpPage is using-cards.html.
type HelpPage struct {
	Frame
	Card    template.HTML // one card as it is printed
	Build   string        // id of a build to type in commands
	Stage   string        // id of a stage of it
	Shown   string        // a photo to type in commands, as its eight digits
	Rows    []CardHelp
	Silence string // after which a session without an end is taken to have ended
	Longest string // the same, where a count or a pause spoke for it
	Hold    string // how long a role holds without a photo
	Twice   string // within which the same card counts once
	Retake  string // within which two pictures of a count may be one taken again
	Cameras string // the same, of two cameras
	Unseen  string // after so long without a photo a session is remarked on
}

// CardHelp is one kind of card: what stands on it, what it does.
type CardHelp struct{ Card, Does, Alone string }

func (v *view) helpPage() HelpPage {
	h := HelpPage{
		Frame: v.frame("", "help", "How to use the cards"), Build: "pilot-boat", Shown: "1f3a9c04", Rows: cardHelp,
		Silence: journal.Spell(v.Config.Silence()), Longest: journal.Spell(v.Config.LongestTimer()),
		Hold: journal.Spell(journal.CardHold), Twice: v.seconds(v.Config.Twice()),
		Retake: v.seconds(v.Config.Retake()), Cameras: journal.Spell(journal.CardCameras),
		Unseen: journal.Spell(v.Config.Unseen()),
	}
	shown := journal.Build{ID: h.Build, Title: "Pilot boat",
		Stages: []journal.Stage{{ID: "clean", Kind: "clean", Title: "Clean"}}}
	if n := len(v.order); n > 0 {
		h.Build = v.order[n-1].ID
		if b := v.order[n-1].Build; len(b.Stages) > 0 {
			shown = *b
		}
	}
	h.Stage = shown.Stages[0].ID
	for _, st := range shown.Stages {
		if st.Kind == "clean" { // the one most evenings go to
			h.Stage = st.ID
		}
	}
	for _, c := range v.Cards {
		h.Shown = v.stem[c.Photo] // the latest, which a person may want to mend
	}
	svg, err := card.SetOf(&shown)[0].SVG()
	if err != nil {
		panic(err) // keys always fit a card
	}
	// The card's words are escaped where it is drawn. Inside a page the name
	// space goes without saying.
	h.Card = template.HTML(strings.Replace(svg, ` xmlns="http://www.w3.org/2000/svg"`, "", 1))
	return h
}

// seconds writes a short time.
func (in voice) seconds(d time.Duration) string {
	if d < time.Minute {
		return in.count(int(d.Round(time.Second).Seconds()), "second")
	}
	return journal.Spell(d)
}

// afterEnd is what counts do while nothing runs.
var afterEnd = "Within " + journal.Spell(journal.CardAfter) +
	" of an end or pause card: counted in the stage that ended. Otherwise noted, nothing changes."

// cardHelp is what each kind of card does, and what when nothing runs.
var cardHelp = []CardHelp{
	{"Begin", "The stage begins. If another runs, that one ends here.", "The stage begins."},
	{"End", "The stage ends.", "Noted, nothing changes."},
	{"Break", "A break begins; the same card again ends it, or a begin card of the stage. Forgotten, it counts until the first count, or the first photo of the work, more than " +
		journal.Spell(journal.CardAfter) + " later, and the session is marked estimated.", "Noted, nothing changes."},
	{"Pause", "The stage ends and the build is put aside. Write on it why, what comes next, what you are waiting for.",
		"The build on the card is put aside."},
	{"0, 1, 2, 5, 10, 20 done",
		"That many are counted: joins at seams, coats when painting, decals, painted items, otherwise parts. Two cards in one picture add up; for as many again, show the same card once more, later. 0 says that you counted and nothing got done.",
		afterEnd},
	{"Runner A done", "All parts of the runner that were not done yet in this stage are done.", afterEnd},
	{"Before, After, Problem", "The photo it lies in, and those that follow, show that.", "The same."},
	{"View, Raking light, Diffuse light",
		"The photo it lies in, and those that follow, are from there, under that light.",
		"The same."},
	{"Trial", "A tool or a material is on trial in this session. Write on the card which.",
		"The photos that follow say so."},
}
