package past

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// What the pages look like, wide and narrow, by day and at night: nothing is wider than
// the screen, and axe-core finds no fault where RAKELIGHT_AXE names it. RAKELIGHT_SHOTS
// keeps pictures in the folder that it names.
func TestLooks(t *testing.T) {
	h, _ := newHand(t, 8, 7)
	groups := h.look().bands()
	h.open(groups[0].address())
	h.do(chromedp.Focus(chromedp.CSS("#title")))
	h.write("Pilot boat")
	h.key("\r")
	for i, from := range []int{0, 14, 28} {
		h.tap("#p-" + groups[0].pictures[from].id() + " input")
		h.tap(`[value="stage:` + stagesOf[i] + `"]`)
	}
	h.tap(`[value="ends:finished"]`)
	h.tap("#p-" + groups[0].pictures[9].id() + " input")
	h.tap(`[value="out"]`)
	for name, width := range map[string]int64{"wide": 1440, "narrow": 390, "least": 320} {
		for _, scheme := range []string{"light", "dark"} {
			if scheme == "dark" && os.Getenv("RAKELIGHT_SHOTS")+os.Getenv("RAKELIGHT_AXE") == "" {
				continue // the lights differ in color alone
			}
			h.do(chromedp.EmulateViewport(width, 844), lamp(scheme))
			h.open(Root)
			h.looks(t, fmt.Sprintf("years-%s-%s", name, scheme), width)
			h.open(groups[0].address())
			h.tap("#p-" + groups[0].pictures[16].id() + " input")
			h.looks(t, fmt.Sprintf("chosen-%s-%s", name, scheme), width)
			h.open(groups[1].address())
			h.looks(t, fmt.Sprintf("unnamed-%s-%s", name, scheme), width)
		}
	}
}

func lamp(scheme string) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme},
				{Name: "prefers-reduced-motion", Value: "reduce"}}})
		return err
	})
}

// looks looks a page over.
func (h *hand) looks(t *testing.T, name string, width int64) {
	t.Helper()
	if wide := js[float64](h, `document.documentElement.scrollWidth`); wide > float64(width) {
		t.Errorf("%s is %v wide", name, wide)
	}
	if axe := os.Getenv("RAKELIGHT_AXE"); axe != "" {
		script, err := os.ReadFile(axe)
		if err != nil {
			t.Fatal(err)
		}
		h.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
			_, err := chromedp.Run(ctx, chromedp.Evaluate[any](string(script)+"; 1"))
			return err
		}))
		found, err := chromedp.Run(h.ctx, chromedp.Evaluate[[]string](`axe.run().then(r => r.violations.flatMap(v =>
			v.nodes.map(n => v.id + ": " + v.help + ": " + n.html.slice(0, 200))))`, chromedp.EvalAwaitPromise))
		if err != nil {
			t.Fatal(err)
		}
		for _, one := range found {
			t.Errorf("%s: %s", name, one)
		}
	}
	dir := os.Getenv("RAKELIGHT_SHOTS")
	if dir == "" {
		return
	}
	data, err := chromedp.Run(h.ctx, chromedp.CaptureScreenshot())
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, name+".png"), data, 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
}
