// Tests that shots are repeatable, that stages and skill show, and that odd input is drawn too.

package scene

import (
	"crypto/sha256"
	"image"
	"testing"
)

// quick is a shot small enough to draw many of.
func quick(model, kind string, step, skill float64) Shot {
	return Shot{Model: model, Kind: kind, Step: step, Skill: skill, View: "three-quarter", Light: "raking", Seed: 4, Width: 320, Height: 240}
}

func sum(img *image.RGBA) [32]byte { return sha256.Sum256(img.Pix) }

// changed is the share of pixels whose brightness differs by more than limit.
func changed(a, b *image.RGBA, limit int) float64 {
	n := 0
	for i := 0; i < len(a.Pix); i += 4 {
		d := 0
		for k := range 3 {
			d += int(a.Pix[i+k]) - int(b.Pix[i+k])
		}
		if d > 3*limit || d < -3*limit {
			n++
		}
	}
	return float64(n) / float64(len(a.Pix)/4)
}

func TestSameShotSameBytes(t *testing.T) {
	for _, kind := range []string{"cut", "clean", "seam", "weather"} {
		s := quick("seaplane", kind, 0.5, 0.4)
		first, second := Draw(s), Draw(s)
		if sum(first) != sum(second) {
			t.Errorf("%s: two drawings of one shot differ", kind)
		}
		s.Seed++
		if sum(Draw(s)) == sum(first) {
			t.Errorf("%s: the seed changes nothing", kind)
		}
	}
}

func TestSize(t *testing.T) {
	if got := Draw(Shot{Model: "lorry", Kind: "prime"}).Bounds(); got != image.Rect(0, 0, 1600, 1200) {
		t.Errorf("size without a wish is %v, want 1600×1200", got)
	}
	if got := Draw(Shot{Model: "lorry", Kind: "prime", Width: 33, Height: 71}).Bounds(); got != image.Rect(0, 0, 33, 71) {
		t.Errorf("size is %v, want 33×71", got)
	}
}

func TestEveryStageShowsItsStep(t *testing.T) {
	kinds := append([]string{"inspect", "wash", "plan", "cut", "clean", "dry-fit", "assemble", "seam"}, order...)
	models := []string{"lorry", "seaplane", "pilot-boat", "lightship"}
	for i, kind := range kinds {
		for _, model := range []string{models[i%4], models[(i+i/4+1)%4]} {
			s := quick(model, kind, 0, 0.8)
			s.Light = "diffuse"
			s.Width, s.Height = 200, 150
			before := Draw(s)
			s.Step = 1
			// The weakest change is a coat of clear varnish; grain alone stays
			// below this limit.
			if c := changed(before, Draw(s), 12); c < 0.0012 {
				t.Errorf("%s, %s: only %.2f %% of the picture changes from before to after", model, kind, 100*c)
			}
		}
	}
}

func TestViewsAndModelsDiffer(t *testing.T) {
	seen := make(map[[32]byte]string)
	for _, model := range []string{"lorry", "seaplane", "pilot-boat", "lightship"} {
		for _, view := range []string{"front", "left", "rear", "right", "top", "three-quarter"} {
			s := quick(model, "paint", 1, 0.8)
			s.View, s.Width, s.Height = view, 120, 90
			h := sum(Draw(s))
			if other, ok := seen[h]; ok {
				t.Errorf("%s %s looks like %s", model, view, other)
			}
			seen[h] = model + " " + view
		}
	}
}

// outline is the width over the height of the model's painted outline.
func outline(t *testing.T, model, view string) float64 {
	t.Helper()
	s := &set{shot: quick(model, "paint", 1, 1), rnd: 1}
	s.shot.View = view
	s.side()
	k := newKit(model)
	cam := aim(v3{}, s.az, s.el, 0, 40)
	cam.focal = 1000
	var pts []v3
	for _, pc := range k.pieces {
		for _, tr := range pc.t {
			for _, p := range tr.p {
				x, y, _ := cam.see(pc.pos.add(pc.turn.out(p)))
				pts = append(pts, v3{x, y, 0})
			}
		}
	}
	lo, hi := pts[0], pts[0]
	for _, p := range pts {
		lo, hi = lo.low(p), hi.high(p)
	}
	return (hi.X - lo.X) / (hi.Y - lo.Y)
}

func TestFrontIsNarrowerThanSide(t *testing.T) {
	for _, model := range []string{"lorry", "pilot-boat", "lightship"} {
		if f, l := outline(t, model, "front"), outline(t, model, "left"); f > 0.75*l {
			t.Errorf("%s: front outline %.2f wide for its height, side %.2f", model, f, l)
		}
	}
	// An aeroplane's span makes its front the wider view.
	if f, l := outline(t, "seaplane", "front"), outline(t, "seaplane", "left"); f < l {
		t.Errorf("seaplane: front outline %.2f, side %.2f", f, l)
	}
}

// TestSkillShows compares each hand with a flawless one: what differs are the
// flaws.
func TestSkillShows(t *testing.T) {
	for _, c := range []struct{ model, kind string }{
		{"lorry", "clean"}, {"pilot-boat", "clean"}, {"lightship", "clean"}, {"seaplane", "seam"}, {"lorry", "seam"},
		{"lorry", "paint"}, {"pilot-boat", "decal"}, {"lightship", "top-coat"},
	} {
		flawless := Draw(quick(c.model, c.kind, 1, 1))
		low := changed(Draw(quick(c.model, c.kind, 1, 0.1)), flawless, 10)
		high := changed(Draw(quick(c.model, c.kind, 1, 0.85)), flawless, 10)
		if low < 2*high || low < 0.002 {
			t.Errorf("%s, %s: flaws cover %.3f %% by a beginner's hand, %.3f %% by a practised one", c.model, c.kind, 100*low, 100*high)
		}
	}
}

func TestRakingLightShowsMore(t *testing.T) {
	flaws := func(light string) float64 {
		s := quick("lorry", "seam", 1, 1)
		s.Light = light
		good := Draw(s)
		s.Skill = 0.2
		return changed(Draw(s), good, 10)
	}
	if d, r := flaws("diffuse"), flaws("raking"); r <= d {
		t.Errorf("the low lamp shows flaws on %.2f %%, the soft one on %.2f %%", 100*r, 100*d)
	}
}

func TestOddShots(t *testing.T) {
	for _, s := range []Shot{
		{Model: "?", Kind: "?", View: "?", Light: "?", Step: -3, Skill: 9, Width: 40, Height: 30},
		{Model: "lightship", Kind: "base", Step: 0.5, View: "top", Width: 1, Height: 1},
		{Width: 64, Height: 5},
	} {
		img := Draw(s)
		for i := 3; i < len(img.Pix); i += 4 {
			if img.Pix[i] != 255 {
				t.Fatalf("%+v: pixel %d is not opaque", s, i/4)
			}
		}
	}
}
