// Tests of what the headers of clips mean, decided anew when more of their camera is
// known.

package journal

import (
	"fmt"
	"reflect"
	"slices"
	"testing"
	"time"

	"rakelight/journal/reason"
)

// clipBody is a clip as it is taken in where nothing tells whether its header is UTC,
// nine hours behind the time at the bench, or that time.
func clipBody(hash, model string, header time.Time) PhotoBody {
	zone := time.FixedZone("", 9*3600)
	at := header.In(zone)
	const form = "2006-01-02 15:04 (-07:00)"
	return PhotoBody{Hash: hash, Path: "photos/" + hash, Name: "a.mp4", Format: "mp4", Length: 60_000, Camera: Camera{Model: model},
		Instant: Instant{At: at, Wall: header.Format(time.DateTime) + " UTC", Source: MovieHeader, Offset: ByStandard,
			Doubts: reason.Doubts{{Is: reason.UTCOrNot, Wall: header.Format("2006-01-02 15:04"), At: at.Format(form),
				Or: header.Add(-9 * time.Hour).In(zone).Format(form)}}}}
}

// shotBody is a photo at a moment.
func shotBody(hash, model string, at time.Time) PhotoBody {
	at = at.In(time.FixedZone("", 9*3600))
	return PhotoBody{Hash: hash, Path: "photos/" + hash, Name: "a.jpg", Format: "jpeg", Camera: Camera{Model: model}, Width: 400, Height: 300,
		Instant: Instant{At: at, Wall: at.Format(time.DateTime), Source: "DateTimeOriginal", Offset: HomeOffset}}
}

// TestLaterPhotosSettleAClip holds what settles whether a clip's header is UTC, after it
// was taken in with a doubt, and that it is open again without.
func TestLaterPhotosSettleAClip(t *testing.T) {
	tokyo, err := time.LoadLocation("Asia/Tokyo")
	if err != nil {
		t.Fatal(err)
	}
	plan := testPlan
	plan.Zone = tokyo
	header := time.Date(2026, 3, 14, 20, 15, 3, 0, time.UTC) // 05:15 the next day at the bench, or 20:15
	utc, local := header, header.Add(-9*time.Hour)
	hash := func(n int) string { return fmt.Sprintf("%064d", n) }
	clip := clipBody(hash(1), "T-24", header)
	shot := func(n int, at time.Time) PhotoBody { return shotBody(hash(n), "T-24", at) }
	named := clipBody(hash(5), "T-24", header.AddDate(0, 0, 2)) // known by its name to be local
	named.Instant.At, named.Instant.Wall = named.Instant.At.Add(-9*time.Hour), header.AddDate(0, 0, 2).Format(time.DateTime)
	named.Instant.Offset, named.Instant.Meant, named.Instant.Doubts = HomeOffset, reason.ByName, nil
	unsure := shot(2, local)
	unsure.Instant.Doubts = reason.Doubts{{Is: reason.NeverSet}}
	for _, c := range []struct {
		name  string
		later []Body
		want  time.Time
		meant reason.Meant
	}{
		{"nothing", nil, utc, ""},
		{"a photo of its local time", []Body{shot(2, local.Add(90*time.Second))}, local, reason.ByKin},
		{"a photo of its time as UTC", []Body{shot(2, utc)}, utc, reason.ByKin},
		{"photos of both", []Body{shot(2, utc), shot(3, local)}, utc, ""},
		{"a photo an hour off", []Body{shot(2, local.Add(time.Hour))}, utc, ""},
		{"a photo in doubt", []Body{unsure}, utc, ""},
		{"a photo of another camera", []Body{shotBody(hash(2), "P5", local)}, utc, ""},
		{"a photo that is taken back", []Body{shot(2, local), RetractBody{Record: "d/2"}}, utc, ""},
		{"another clip, known to be local", []Body{named}, local, reason.ByHabit},
		{"another clip that a photo settles", []Body{clipBody(hash(6), "T-24", header.AddDate(0, 1, 0)),
			shot(2, local.AddDate(0, 1, 0))}, local, reason.ByHabit},
		{"a clock put right", []Body{shot(2, local), ClockBody{Camera: Camera{Model: "T-24"}, Fast: "1h"}}, local.Add(-time.Hour), reason.ByKin},
		{"a person", []Body{shot(2, utc), DatedBody{Photo: hash(1), At: local}}, local, ""},
	} {
		records := history(t, append([]Body{clip}, c.later...)...)
		before := slices.Clone(records[0].Body)
		s := Fold(plan, records)
		p := s.PhotosByHash()[hash(1)]
		doubt := p.Instant.Doubts.Has(reason.UTCOrNot)
		if !p.Instant.At.Equal(c.want) || p.Instant.Meant != c.meant || doubt != (c.meant == "" && p.DatedBy == "") {
			t.Errorf("%s: %+v, want %v", c.name, p.Instant, c.want)
		}
		if !reflect.DeepEqual(before, records[0].Body) {
			t.Errorf("%s: the record was changed", c.name)
		}
	}
}

// TestManyClipsCostLittle holds that photos are looked through once and not for each clip,
// and that of them a clip is held against those of its time alone.
func TestManyClipsCostLittle(t *testing.T) {
	const clips, shots = 300, 900
	header := time.Date(2026, 3, 14, 20, 15, 3, 0, time.UTC)
	var open []openClip
	var photos []*Photo
	for i := range clips {
		b := clipBody(fmt.Sprintf("%064d", i), "T-24", header.Add(time.Duration(i)*time.Hour))
		c, ok := (&Photo{Hash: b.Hash, Camera: b.Camera, Instant: b.Instant, Length: b.Length, Format: b.Format}).openClip()
		if !ok {
			t.Fatal("no clip in doubt")
		}
		open = append(open, c)
	}
	for i := range shots {
		b := shotBody(fmt.Sprintf("%064d", clips+i), "T-24", header.Add(time.Duration(shots-i)*20*time.Minute))
		photos = append(photos, &Photo{Hash: b.Hash, Camera: b.Camera, Instant: b.Instant, Format: b.Format})
	}
	kin := kinOf(open, photos)
	if len(kin) != 1 || len(kin[open[0].Camera].Photos) != shots {
		t.Errorf("what is known of one camera is kept %d times", len(kin))
	}
	for _, c := range open {
		moments := kin[c.Camera].Photos
		some := ofHeader(moments, c.UTC.At, c.Length)
		want := slices.DeleteFunc(slices.Clone(moments), func(at time.Time) bool { return !NearHeader(at, c.UTC.At, c.Length) })
		if len(some) > 1 || !slices.Equal(some, want) {
			t.Fatalf("%v: %v, want %v", c.UTC.At, some, want)
		}
	}
}

// TestSettledClipIsTagged holds that a clip whose doubt is gone has its place by the
// session of its time, whether it moved or not.
func TestSettledClipIsTagged(t *testing.T) {
	tokyo, err := time.LoadLocation("Asia/Tokyo")
	if err != nil {
		t.Fatal(err)
	}
	plan := testPlan
	plan.Zone = tokyo
	header := time.Date(2026, 3, 14, 20, 15, 3, 0, time.UTC)
	for _, at := range []time.Time{header, header.Add(-9 * time.Hour)} {
		work := WorkBody{Build: "lorry", Stage: "clean", Kind: "clean", Start: at.Add(-time.Hour), Minutes: 120, Known: Measured}
		clip := clipBody(fmt.Sprintf("%064d", 1), "T-24", header)
		s := Fold(plan, history(t, work, clip))
		if p := s.PhotosByHash()[clip.Hash]; p.Tags.Build != "" {
			t.Errorf("in doubt it is of %s", p.Tags.Build)
		}
		s = Fold(plan, history(t, work, clip, shotBody(fmt.Sprintf("%064d", 2), "T-24", at)))
		if p := s.PhotosByHash()[clip.Hash]; p.Tags.Build != "lorry" || p.Tags.Stage != "clean" {
			t.Errorf("%v: settled it is of %q, %v", at, p.Tags.Build, p.Why)
		}
	}
}

// TestIndexAgreesOnClips lets clips in doubt come with what settles them, before and
// after, among evenings by cards, and holds the index against the fold.
func TestIndexAgreesOnClips(t *testing.T) {
	least := tailLeast
	tailLeast = 4
	defer func() { tailLeast = least }()
	for seed := range uint64(6) {
		h := newFate(t, seed)
		h.write("journal.toml", "format = 1\nname = \"Bench\"\nzone = \"Asia/Tokyo\"\n")
		h.lives = h.open()
		for range 40 {
			h.clip()
		}
	}
}

// clip lets something happen that has to do with clips.
func (h *fate) clip() {
	rng := h.rng
	model := []string{"T-24", "P5"}[rng.IntN(2)]
	s := h.folded()
	open := keep(s.Photos, func(p *Photo) bool { return p.Clip() })
	var say Body
	switch n := rng.IntN(12); {
	case n == 0:
		h.cards()
		return
	case n < 3:
		h.now = h.now.Add(time.Duration(10+rng.IntN(30)) * time.Hour)
		return
	case n < 6 || len(open) == 0:
		say = clipBody(fateHash(5000+rng.IntN(1000)), model, h.now.Add(-time.Duration(rng.IntN(200))*time.Hour).Truncate(time.Second).UTC())
	case n < 10:
		header := pick(rng, open).Instant.At
		say = shotBody(fateHash(6000+rng.IntN(1000)), model, header.Add([]time.Duration{0, -9 * time.Hour, 9 * time.Hour}[rng.IntN(3)]))
	default:
		p := pick(rng, s.Photos)
		say = []Body{RetractBody{Record: p.Record}, TagBody{Photo: p.Hash, Set: Tags{Role: "after"}},
			BesideBody{Photo: p.Hash, Hash: pick(rng, s.Photos).Hash, Path: "photos/x", Format: "mp4"}}[rng.IntN(3)]
	}
	h.did("clips: %s %+v", say.RecordKind(), say)
	j := h.lives
	if rng.IntN(2) == 0 {
		j = h.open()
	}
	if _, err := j.Append(say); err != nil {
		h.t.Fatal(err)
	}
	h.agree("who took a clip in", j.State)
	h.now = h.now.Add(time.Duration(rng.IntN(50)) * time.Minute)
}
