// This file is what the invented builder thinks of the work: marks, blind
// pairs, mistakes and trials. They are drawn by lot around the skill of each
// story, with the noise of a real eye and hand, and then take the way of any
// record. No verdict is set by hand.

package demo

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
)

const (
	pairsJudged = 300 // some evenings with the blind pairs
	unmarked    = 7   // one in so many of the marks that could be given is not
	stricter    = 0.3 // points the eye takes off when it looks again, years later
)

// leaning is how each criterion differs from the general skill of the hand:
// where it began, and how much of the general progress it shares.
var leaning = map[int]struct{ start, share float64 }{
	1: {0.05, 1}, 2: {0, 0.9}, 3: {0.05, 0.8}, 4: {-0.05, 1.1}, 5: {0.15, 0.7}, 6: {0.2, 0.15},
	7: {0, 1}, 8: {0.05, 0.9}, 9: {0.1, 0.8}, 10: {0.1, 0.9}, 11: {0.1, 0.6}, 12: {0.2, 0.7},
}

// quality is how good the work of a build is on a criterion, about 0 to 1.
func quality(build string, criterion int) float64 {
	i := slices.IndexFunc(stories, func(p story) bool { return p.id == build })
	if i < 0 {
		return 0
	}
	l := leaning[criterion]
	return stories[0].skill + l.start + l.share*(stories[i].skill-stories[0].skill)
}

// judgeWork says what the builder said of the work, photos being taken in.
func judgeWork(j *journal.Journal) error {
	rng := rand.New(rand.NewPCG(21, 0x6d61_726b))
	said := slices.Concat(marks(j.State, rng), verdicts(j.State, rng), mistakes(j.State, rng))
	if _, err := entry.DoAll(j, said...); err != nil {
		return toldBy(err)
	}
	return tryTools(j)
}

// marks are first marks of results on all builds, then a second look at the two
// oldest ones'.
func marks(s *journal.State, rng *rand.Rand) []entry.Request {
	var first, again []entry.Request
	seen := 0
	for _, p := range s.Photos {
		if p.Tags.Role != "after" && p.Tags.Role != "finished" || p.Tags.Build == "" {
			continue
		}
		for _, c := range journal.Criteria {
			if p.Tags.Role == "finished" && c.Number < 9 && c.Number != 5 ||
				p.Tags.Role == "after" && !slices.Contains(c.Kinds, p.Kind) {
				continue
			}
			if seen++; seen%unmarked == 0 {
				continue
			}
			mark := entry.Mark{Photo: p.Hash, Criterion: c.Number}
			if !applies(p, c.Number) {
				first = append(first, mark)
				continue
			}
			q := journal.TopScore * quality(p.Tags.Build, c.Number)
			mark.Score = score(q + 0.55*rng.NormFloat64())
			first = append(first, mark)
			if p.Tags.Build == stories[0].id || p.Tags.Build == stories[1].id {
				mark.Score = score(q - stricter + 0.45*rng.NormFloat64())
				again = append(again, mark)
			}
		}
	}
	return append(first, again...)
}

// applies tells what a model has no place for: the lightship has no clear parts.
func applies(p *journal.Photo, criterion int) bool {
	return criterion != 9 || p.Tags.Build != "lightship"
}

func score(x float64) *int {
	n := int(math.Round(math.Max(0, math.Min(journal.TopScore, x))))
	return &n
}

// verdicts are the answers to the pairs the journal itself chooses.
func verdicts(s *journal.State, rng *rand.Rand) []entry.Request {
	looked := *s // its verdicts grow here; the journal's own state stays
	looked.Verdicts = slices.Clone(s.Verdicts)
	var out []entry.Request
	for range pairsJudged {
		pair := looked.NextPair("", rng, nil)
		if pair == nil {
			break
		}
		d := quality(pair.Left.Tags.Build, pair.Criterion) - quality(pair.Right.Tags.Build, pair.Criterion)
		v := entry.Verdict{Left: pair.Left.Hash, Right: pair.Right.Hash, Criterion: pair.Criterion,
			Outcome: verdict(d, rng)}
		out = append(out, v)
		looked.Verdicts = append(looked.Verdicts, journal.Verdict{Left: v.Left, Right: v.Right, Criterion: v.Criterion,
			Outcome: v.Outcome})
	}
	return out
}

// verdict draws what the eye says of a difference in quality. Its noise is of
// the size of the step from one build to the next, so near pairs go either way.
func verdict(d float64, rng *rand.Rand) string {
	seen := d + 0.28*rng.NormFloat64()
	switch {
	case rng.Float64() < 0.03:
		return "cannot tell"
	case math.Abs(seen) < 0.07:
		return "no difference"
	case seen > 0:
		return "left"
	}
	return "right"
}

// slip is a kind of mistake, how often it happens to a beginner on a session of
// its stages, and what it looks like.
type slip struct {
	kind   string
	stages []string
	often  float64
	causes []string
	mended string
	lost   float64 // minutes, about
	taught string  // what to do the next time
}

var slips = []slip{
	{"gouge", []string{"cut", "clean"}, 0.55, []string{"cut too close to the part", "blade gone blunt",
		"in a hurry before supper"}, "filled and sanded", 12,
		"leave a stub and trim it in a second cut"},
	{"part lost", []string{"clean", "detail"}, 0.18, []string{"sprang off the nippers", "no tray under the hands"},
		"rebuilt from sheet", 25,
		"nippers and small parts over the tray only"},
	{"glue smear", []string{"assemble"}, 0.5, []string{"too much cement", "finger in the glue"}, "sanded and polished",
		15, "less cement, from behind the joint"},
	{"step at a join", []string{"assemble", "seam"}, 0.4, []string{"no dry fit first", "clamped out of line"},
		"filled again", 30,
		"dry fit first, then clamp and look along the join"},
	{"bleed under tape", []string{"paint"}, 0.45, []string{"tape not pressed down", "paint laid on too wet"},
		"touched up by brush", 20,
		"seal the edge of the tape with the color below it"},
	{"silvered decal", []string{"decal"}, 0.5, []string{"air left under the film", "no softener"},
		"pricked, softener once more", 10, "softener below and above, and press from the middle"},
}

// mistakes happen in sessions, ever less often. What the first of a kind taught on
// a build is noted on its evening.
func mistakes(s *journal.State, rng *rand.Rand) []entry.Request {
	var out []entry.Request
	taught := map[string]bool{} // by build and kind
	for _, one := range s.Sessions {
		for _, m := range slips {
			i := slices.IndexFunc(stories, func(p story) bool { return p.id == one.Build })
			if i < 0 || one.Start.IsZero() || !slices.Contains(m.stages, one.Kind) ||
				rng.Float64() > m.often*(1.1-stories[i].skill) {
				continue
			}
			wrong := entry.Mistake{
				Build: one.Build, Stage: one.Stage, Kind: m.kind, Cause: m.causes[rng.IntN(len(m.causes))],
				Mended: m.mended,
				Lost:   time.Duration(math.Round(m.lost*(0.6+0.8*rng.Float64()))) * time.Minute,
				At:     one.Start.Add(time.Duration(0.7 * float64(one.Net))),
			}
			if n := len(one.Parts); n > 0 {
				wrong.Parts = one.Parts[rng.IntN(n)].String()
			}
			out = append(out, wrong)
			if key := one.Build + " " + m.kind; !taught[key] {
				taught[key] = true
				out = append(out, entry.Note{Build: one.Build, Session: one.ID, Text: "next time: " + m.taught,
					At: wrong.At})
			}
		}
	}
	return out
}

// trial is a tool or a material under test.
type trial struct {
	what, question, build, stage string
	notes                        []string // one each on the first sessions of the stage
	review                       string
}

var trials = []trial{
	{
		"fine sanding sponge", "Does it keep round parts round?", "seaplane", "clean",
		[]string{
			"Follows the curve of the float; no flats so far.",
			"Wears out after twenty parts. Rinse it, and it cuts again.",
			"On the struts it rounds the edges that should stay sharp.",
		},
		"**Kept, for curved parts only.**\n\n- round parts stay round\n- edges go soft: on flat parts the file is better\n- one sponge lasts about sixty parts, rinsed twice\n",
	},
	{
		"glass file", "Cleaner gates, with nothing left in raking light?", "pilot-boat", "clean",
		[]string{
			"No gouges where gates sit on flat parts. Slow in corners.",
			"Leaves a polished spot that shows under gray primer; a pass with P1000 takes it off.",
			"The small parts go as quickly as with the blade, and I stop looking for pale marks.",
			"Clogs with soft plastic; a toothbrush cleans it.",
		},
		"**Kept.** It replaced the last pass with the blade.\n\n1. cut twice, leave a thin stub\n2. glass file, flat on the part\n3. P1000 where it will be painted\n\nNot for inside corners.\n",
	},
	{
		"clear gel for the water", "Does it stay clear over a month?", "lightship", "prime",
		[]string{"A test strip on painted card, 3 mm thick. Milky for two days, then clear."},
		"",
	},
}

// tryTools begins the trials on the first session of their stage, notes what was
// seen in sessions with the tool, and closes those that have a review.
func tryTools(j *journal.Journal) error {
	var begun []entry.Request
	var of []trial
	sessions := func(t trial) []*journal.Session {
		some := slices.DeleteFunc(j.State.SessionsOf(t.build),
			func(one *journal.Session) bool { return one.Stage != t.stage || one.Start.IsZero() })
		slices.SortStableFunc(some, func(a, b *journal.Session) int {
			return cmp.Or(a.Start.Compare(b.Start),
				strings.Compare(a.ID, b.ID))
		})
		return some
	}
	for _, t := range trials {
		if some := sessions(t); len(some) > 0 {
			begun = append(begun, entry.Trial{What: t.what, Question: t.question, Build: t.build, From: some[0].Start})
			of = append(of, t)
		}
	}
	done, err := entry.DoAll(j, begun...)
	if err != nil {
		return toldBy(err)
	}
	var told []entry.Request
	for i, r := range done.Records {
		t := of[i]
		all := sessions(t)
		seen := slices.DeleteFunc(slices.Clone(all), func(one *journal.Session) bool { return !one.Used(t.what) })
		if len(seen) == 0 { // a material: no session names it
			seen = all
		}
		for n, one := range seen[:min(len(seen), len(t.notes))] {
			told = append(told, entry.Observe{Trial: r.ID(), Text: t.notes[n], Photo: during(j.State, one),
				At: one.End})
		}
		if t.review != "" {
			closed := all[len(all)-1].End.AddDate(0, 0, 9) // once all of the stage was seen
			told = append(told, entry.Review{Trial: r.ID(), Text: t.review, At: closed})
		}
	}
	if _, err := entry.DoAll(j, told...); err != nil {
		return toldBy(err)
	}
	return nil
}

// during is the last photo of the work taken in a session, "" when there is none.
func during(s *journal.State, one *journal.Session) string {
	hash := ""
	for _, p := range s.PhotosOf(one.Build) {
		if p.Tags.Stage == one.Stage && !p.OfCards() && !p.Instant.At.Before(one.Start) &&
			!p.Instant.At.After(one.End) {
			hash = p.Hash
		}
	}
	return hash
}
