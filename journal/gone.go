// Builds that nobody goes on with though they were never finished.

package journal

import "rakelight/journal/say"

// What the program itself writes of why a build was put aside, Pause.Why: the answers to
// what became of it.
const (
	GivenAway = "given away"
	Scrapped  = "scrapped"
	NoReason  = "the reason was not noted"
)

// Ended reports whether a pause is an end: the build was given away or scrapped, and
// waits for nobody. It goes on only when a person says so.
func (p *Pause) Ended() bool { return p.Why == GivenAway || p.Why == Scrapped }

// Gone is the pause that a build ended with and is in, or nil; see Ended.
func (s *State) Gone(build string) *Pause {
	if p := s.Paused(build); p != nil && p.Ended() {
		return p
	}
	return nil
}

var whyWords = map[string]say.Key{GivenAway: "given away", Scrapped: "scrapped", NoReason: "the reason was not noted"}

// WhySaid is why a build was put aside in words: what the program wrote, in any language,
// what a person wrote as it is.
func WhySaid(why string) say.Wording { return saidOf(whyWords, why) }
