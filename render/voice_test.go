// Sentences as readers get them.

package render

import (
	"bytes"
	"testing"
)

func TestReadersHearTheBuilder(t *testing.T) {
	v := &view{voice: inEnglish}
	told := func(path string, data []byte) []byte {
		data, _ = v.toReaders(path, data)
		return data
	}
	for in, want := range map[string]string{
		"On Lightship you worked faster than on all earlier builds": "On Lightship I worked faster than on all earlier builds",
		"You work faster now":                                   "I work faster now",
		"Your agreement with yourself":                          "My agreement with myself",
		"an average build of yours":                             "an average build of mine",
		"in the last 8 weeks you had 4.1.":                      "in the last 8 weeks I had 4.1.",
		"No sign that you favor the left or right photo":        "No sign that I favor the left or right photo",
		"Whether your eye has changed cannot be told":           "Whether my eye has changed cannot be told",
		"When you are at it, you were right":                    "When I am at it, I was right",
		"what the marks tell you of your work":                  "what the marks tell me of my work",
		", counting the 3000 you did before,":                   ", counting the 3000 I did before,",
		`<img alt="Your eye" src="you.jpg" title="of you">your`: `<img alt="My eye" src="you.jpg" title="of me">my`,
		ownWords("You and your friends, said he"):               "You and your friends, said he",
		ownWords("[you](https://you.example/your)") + " you":    "[you](https://you.example/your) I",
		"youth, yourt": "youth, yourt",
	} {
		if got := string(told("a.html", []byte("<main>"+in+"</main>follow your rules"))); got != "<main>"+want+"</main>follow your rules" {
			t.Errorf("%q: %q", in, got)
		}
	}
	if got := string(told("data/a.js", []byte(`{"words":"`+ownWords("your")+` %EE%80%80 you"}`))); got != `{"words":"your  you"}` {
		t.Errorf("a script: %q", got)
	}
}

// What is the program's own is the same in both editions, fonts byte for byte.
func TestAssetsAreTheSameForReaders(t *testing.T) {
	own, others := smallView(), smallView()
	others.edition = ForReaders
	for _, m := range assets() {
		mine, err := m.file(own.texts())
		if err != nil {
			t.Fatal(err)
		}
		theirs, err := m.file(others.texts())
		if err != nil || !bytes.Equal(mine.data, theirs.data) {
			t.Errorf("%s differs for readers (%v)", m.path, err)
		}
	}
}
