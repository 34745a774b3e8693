// Tests of the lists a person can act on.

package journal

import (
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"rakelight/journal/reason"
)

func TestToDo(t *testing.T) {
	zone := lisbon(t)
	n := byte('a')
	photo := func(at, wall string, change func(*Photo)) *Photo {
		n++
		p := &Photo{Hash: strings.Repeat(string(n), 64), Name: string(n) + ".jpg", Camera: Camera{Make: "Tarrow", Model: "T-24"},
			Tags: Tags{Build: "lorry", Stage: "clean"}, Why: map[string]reason.Why{},
			Instant: Instant{At: moment(t, at), Wall: wall, Source: "DateTimeOriginal", Offset: "journal zone"}}
		if change != nil {
			change(p)
		}
		return p
	}
	s := &State{Zone: zone, Photos: []*Photo{
		photo("2026-03-01 10:00:00 +00:00", "2026:03:01 10:00:00", nil), // b: nothing to do
		photo("2026-03-02 10:00:00 +00:00", "", func(p *Photo) { // c
			p.Instant = Instant{At: p.Instant.At, Source: "file time", Doubts: reason.Doubts{{Is: reason.FileTime}}}
			p.Tags, p.Why["build"] = Tags{}, reason.Why{By: reason.TimeInDoubt}
		}),
		photo("2026-03-02 12:00:00 +00:00", "2026:03:02", func(p *Photo) { p.Instant.Doubts = reason.Doubts{{Is: reason.DayOnly}} }),                        // d
		photo("2026-10-25 01:30:00 +01:00", "2026:10:25 01:30:00", func(p *Photo) { p.Instant.Doubts = reason.Doubts{{Is: reason.Twice}} }),                 // e
		photo("2026-03-03 10:00:00 +00:00", "2026:03:03 10:00:00", func(p *Photo) { p.Instant.Doubts = reason.DoubtsOf("GPS says 2099, which cannot be") }), // f
		photo("2026-03-04 10:00:00 +00:00", "2026:03:04 10:00:00", func(p *Photo) { p.Guess, p.Why["stage"] = true, reason.Why{By: reason.NearSession} }),   // g
		photo("2026-03-05 10:00:00 +00:00", "2026:03:05 10:00:00", func(p *Photo) { p.Tags.Stage = "" }),                                                    // h
		photo("2026-07-06 10:00:00 +09:00", "2026:07:06 10:00:00", func(p *Photo) { p.Instant.Offset, p.Camera.Model = "stated", "K 2" }),                   // i: away
		photo("2026-07-06 11:00:00 +01:00", "2026:07:06 11:00:00", nil),                                                                                     // j: perhaps away too
		photo("2026-07-06 03:00:00 +01:00", "2026:07:06 11:00:00", func(p *Photo) { p.Instant.Corrected = reason.Fault{Fast: 8 * time.Hour} }),              // k: corrected for it
		photo("2026-07-07 10:00:00 +01:00", "2026:07:07 10:00:00", func(p *Photo) { p.Instant.Offset = "stated" }),                                          // l: at home
		photo("2026-07-08 10:00:00 +09:00", "2026:07:08 10:00:00", func(p *Photo) {
			p.Instant.Source, p.Instant.Offset, p.Instant.At = "GPS", "GPS", moment(t, "2026-07-08 02:00:00 +01:00")
		}), // m
		photo("2026-07-06 12:00:00 +01:00", "2026:07:06 12:00:00", func(p *Photo) { p.Camera.Model = "K 2" }), // n: as the one that is away
	}, Asides: []Aside{{Path: "inbox/aside/a (2).jpg", Why: reason.Link{By: reason.SmallerCopy}}}, Builds: []*Build{{ID: "lorry", Stages: []Stage{{ID: "clean", Kind: "clean"}}}}}
	var got []string
	for _, row := range s.ToDo() {
		if row.Why == nil || row.Name() == "" || !strings.HasPrefix(row.Command, "rakelight ") {
			t.Errorf("%+v", row)
		}
		got = append(got, row.Kind+" "+row.Name()+": "+row.Command)
	}
	want := []string{
		"no date cccccccc  c.jpg: rakelight date cccccccc WHEN",
		"no date dddddddd  d.jpg: rakelight date dddddddd WHEN",
		"zone guessed eeeeeeee  e.jpg: rakelight clock --photo eeeeeeee --really TIME",
		"zone guessed jjjjjjjj  j.jpg: rakelight clock tarrow-t-24 --fast 8h --from 2026-07-06 --to 2026-07-06",
		"zone guessed nnnnnnnn  n.jpg: rakelight why nnnnnnnn",
		"clock doubt ffffffff  f.jpg: rakelight clock --photo ffffffff --really TIME",
		"guessed gggggggg  g.jpg: rakelight tag gggggggg lorry clean",
		"to sort cccccccc  c.jpg: rakelight tag cccccccc BUILD STAGE",
		"to sort hhhhhhhh  h.jpg: rakelight tag hhhhhhhh lorry clean",
		`set aside inbox/aside/a (2).jpg: rakelight take "inbox/aside/a (2).jpg"`,
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if s.NoZone() != 9 {
		t.Errorf("%d photos state no zone", s.NoZone())
	}
}

// The photos of a camera whose clock is doubted are listed with the command
// that corrects it.
// The stage that is proposed is that of the work that lies nearest, and never a guess
// where nothing tells.
func TestLikelyStage(t *testing.T) {
	stages := []Stage{{ID: "cut", Kind: "cut"}, {ID: "cure", Kind: "wait"}, {ID: "clean", Kind: "clean"}, {ID: "paint", Kind: "paint"}}
	on := func(build, stage, kind, at string) *Session {
		return &Session{Build: build, Stage: stage, Kind: kind, Start: moment(t, at)}
	}
	s := &State{Builds: []*Build{{ID: "lorry", Stages: stages}, {ID: "seaplane", Stages: stages[:1]}, {ID: "lightship", Stages: stages}},
		Sessions: []*Session{
			on("lorry", "clean", "clean", "2026-03-02 19:00:00 +00:00"), on("lightship", "cut", "cut", "2026-03-03 19:00:00 +00:00"),
			on("lorry", "gone", "clean", "2026-03-04 19:00:00 +00:00"), on("lorry", "cure", "wait", "2026-03-05 19:00:00 +00:00"),
			on("lorry", "paint", "paint", "2026-03-09 19:00:00 +00:00"),
		}}
	for _, c := range []struct{ build, at, source, want string }{
		{"lorry", "2026-03-01 10:00:00 +00:00", "DateTimeOriginal", "clean"}, // before all: what came first
		{"lorry", "2026-03-07 10:00:00 +00:00", "DateTimeOriginal", "clean"}, // not what dried, nor what is no stage any more
		{"lorry", "2026-03-10 10:00:00 +00:00", "DateTimeOriginal", "paint"},
		{"lorry", "2026-03-10 10:00:00 +00:00", FileTime, ""},
		{"seaplane", "2026-03-10 10:00:00 +00:00", FileTime, "cut"}, // it has no other
		{"lightship", "2026-03-01 10:00:00 +00:00", "DateTimeOriginal", "cut"},
		{"", "2026-03-10 10:00:00 +00:00", "DateTimeOriginal", ""},
		{"gone", "2026-03-10 10:00:00 +00:00", "DateTimeOriginal", ""},
	} {
		p := &Photo{Tags: Tags{Build: c.build}, Instant: Instant{At: moment(t, c.at), Source: c.source}}
		if got := s.LikelyStage(p); got != c.want {
			t.Errorf("%s at %s by %s: %q, want %q", c.build, c.at, c.source, got, c.want)
		}
	}
}

// The build that is proposed is the one whose photos and sessions lie on both sides of the
// photo, and its stage that of its nearest photo where it has no session.
func TestLikelyBuild(t *testing.T) {
	stages := []Stage{{ID: "inspect", Kind: "inspect"}, {ID: "paint", Kind: "paint"}}
	photo := func(hash, build, stage, at string) *Photo {
		return &Photo{Hash: hash, Tags: Tags{Build: build, Stage: stage}, Instant: Instant{At: moment(t, at), Source: "DateTimeOriginal"}}
	}
	s := &State{Builds: []*Build{{ID: "lorry", Stages: stages}, {ID: "seaplane", Stages: stages}, {ID: "second-lorry", Stages: stages}},
		Photos: []*Photo{
			photo("1", "seaplane", "inspect", "2024-05-01 19:00:00 +00:00"), photo("2", "seaplane", "paint", "2024-05-12 19:00:00 +00:00"),
			photo("3", "seaplane", "paint", "2024-05-30 19:00:00 +00:00"), photo("4", "lorry", "paint", "2024-06-01 19:00:00 +00:00"),
		},
		Sessions: []*Session{{Build: "second-lorry", Stage: "inspect", Kind: "inspect", Start: moment(t, "2026-03-02 19:00:00 +00:00")}}}
	for _, c := range []struct{ at, source, build, stage string }{
		{"2024-05-10 20:00:00 +00:00", "DateTimeOriginal", "seaplane", "inspect"},
		{"2024-05-20 20:00:00 +00:00", "DateTimeOriginal", "seaplane", "paint"},
		{"2024-06-01 18:00:00 +00:00", "DateTimeOriginal", "lorry", "paint"}, // earlier that day
		{"2024-05-20 20:00:00 +00:00", FileTime, "", ""},
		{"2024-04-20 20:00:00 +00:00", "DateTimeOriginal", "", ""},
		{"2025-04-20 20:00:00 +00:00", "DateTimeOriginal", "", ""},
	} {
		p := &Photo{Hash: "5", Instant: Instant{At: moment(t, c.at), Source: c.source}}
		b, build, stage := s.LikelyBuild(p), "", ""
		if b != nil {
			build, stage = b.ID, s.LikelyStageOf(b.ID, p)
		}
		if build != c.build || stage != c.stage {
			t.Errorf("%s by %s: %q %q, want %q %q", c.at, c.source, build, stage, c.build, c.stage)
		}
	}
}

func TestToDoProposal(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 3))
	s := drawnBench(rng, 16, 63*time.Minute, func(one *Session) []time.Time { return during(rng, one, 8) })
	n := 0
	for _, row := range s.ToDo() {
		if row.Kind == ClockDoubt {
			n++
			if row.Photo.Camera.Model != "T-24" || !strings.HasPrefix(row.Command, "rakelight clock tarrow-t-24 --fast 1h") {
				t.Errorf("%+v", row)
			}
		}
	}
	if n != 16*8 {
		t.Errorf("%d photos are doubted", n)
	}
}
