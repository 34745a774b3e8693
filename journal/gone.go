// Builds that nobody goes on with though they were never finished.

package journal

import "rakelight/journal/say"

// Answer is what the program itself writes as Pause.Why: an answer to what became of a
// build.
type Answer string

// The answers that are offered.
const (
	GivenAway Answer = "given away"
	Scrapped  Answer = "scrapped"
	NoReason  Answer = "the reason was not noted"
)

// Answer is why a build was put aside, where that is one of the answers.
func (p *Pause) Answer() Answer { return Answer(p.Why) }

// Ended reports whether a pause is an end: the build was given away or scrapped, and
// waits for nobody. It goes on only when a person says so.
func (p *Pause) Ended() bool { return p.Answer() == GivenAway || p.Answer() == Scrapped }

// Gone is the pause that a build ended with and is in, or nil; see Ended.
func (s *State) Gone(build string) *Pause {
	if p := s.Paused(build); p != nil && p.Ended() {
		return p
	}
	return nil
}

var whyWords = map[string]say.Key{string(GivenAway): "given away", string(Scrapped): "scrapped",
	string(NoReason): "the reason was not noted"}

// WhySaid is why a build was put aside in words: what the program wrote, in any language,
// what a person wrote as it is.
func WhySaid(why string) say.Wording { return saidOf(whyWords, why) }
