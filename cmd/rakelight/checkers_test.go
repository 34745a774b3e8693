// Checkers that others keep, over the demo's pages in each edition: the Nu Html Checker,
// axe-core, Lighthouse, and an XML schema of the feed. RAKELIGHT_CHECKERS names the
// folder they are installed in; .ci/run installs them.

package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"rakelight/render/headless"
)

func TestPagesByCheckers(t *testing.T) {
	modules := os.Getenv("RAKELIGHT_CHECKERS")
	if modules == "" {
		t.Skip("RAKELIGHT_CHECKERS names no folder with the checkers: see .ci/run")
	}
	vnu := filepath.Join(modules, "vnu-jar", "build", "dist", "vnu.jar")
	axe := filepath.Join(modules, "axe-core", "axe.min.js")
	all := writtenDemo(t)
	t.Run("read", func(t *testing.T) {
		for _, w := range all {
			t.Run(w.edition, func(t *testing.T) {
				t.Parallel()
				t.Run("markup", func(t *testing.T) { w.testMarkup(t, vnu, w.dir) })
				t.Run("axe", func(t *testing.T) { w.testAxe(t, axe, w.kinds(t), everyLook) })
				t.Run("feed", func(t *testing.T) { w.testFeed(t, filepath.Join(modules, "xmllint-wasm")) })
			})
		}
		if os.Getenv("RAKELIGHT_PAGES") == "" {
			t.Run("in German", func(t *testing.T) {
				t.Parallel()
				all[0].testInGerman(t, vnu, axe)
			})
		}
	})
	for _, w := range all { // one after the other, and nothing beside them: they are timed
		t.Run("lighthouse "+w.edition, func(t *testing.T) { w.testLighthouse(t, filepath.Join(modules, "lighthouse", "cli", "index.js")) })
	}
}

// Words of another language change where links lead, what is marked up and how wide it
// runs, but neither colors nor what loads.
func (w written) testInGerman(t *testing.T, vnu, axe string) {
	german := written{"in German", filepath.Join(t.TempDir(), "in-german")}
	if err := publish(filepath.Dir(w.dir), german.dir, "--language", "de"); err != nil {
		t.Fatal(err)
	}
	t.Run("links", func(t *testing.T) { german.testLinks(t) })
	var names, files []string
	seen := map[string]bool{}
	for _, name := range german.kinds(t) {
		file := filepath.Join(german.dir, filepath.FromSlash(name))
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if class := string(bodyClass.Find(data)); !seen[class] { // one of each template
			names, files, seen[class] = append(names, name), append(files, file), true
		}
	}
	t.Run("markup", func(t *testing.T) { german.testMarkup(t, vnu, files...) })
	t.Run("axe", func(t *testing.T) { german.testAxe(t, axe, names, []look{{320, "light"}}) })
}

var bodyClass = regexp.MustCompile(`<body class="[^"]*"`)

// program is where a program is; a test that cannot have it says so.
func program(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("not run: there is no %s here", name)
	}
	return path
}

// leftOut are the messages of the Nu Html Checker that are not faults here: the standard
// asks for no heading in a section, and the first one of a page is told by the page's own.
var leftOut = "Section lacks heading."

// testMarkup has the Nu Html Checker read pages, or all in a folder: no error, and no
// advice but leftOut.
func (w written) testMarkup(t *testing.T, jar string, pages ...string) {
	args := append([]string{"-jar", jar, "--skip-non-html", "--exit-zero-always", "--format", "json"}, pages...)
	cmd := exec.Command(program(t, "java"), args...)
	out, err := cmd.CombinedOutput()
	var told struct {
		Messages []struct {
			Type, URL, Message, Extract string
			LastLine                    int
		}
	}
	if err == nil {
		err = json.Unmarshal(out, &told)
	}
	if err != nil {
		t.Fatalf("%v: %.400s", err, out)
	}
	seen := map[string]int{}
	for _, m := range told.Messages {
		if strings.HasPrefix(m.Message, leftOut) {
			continue
		}
		if seen[m.Message]++; seen[m.Message] <= 3 {
			t.Errorf("%s:%d: %s: %s\n%s", strings.TrimPrefix(m.URL, fileURL(w.dir)), m.LastLine, m.Type, m.Message, m.Extract)
		}
	}
}

// look is how a page is looked at: so many pixels wide, by day or at night.
type look struct {
	width int64
	lamp  string // "light" or "dark"
}

var everyLook = []look{{320, "light"}, {320, "dark"}, {768, "light"}, {768, "dark"}, {1440, "light"}, {1440, "dark"}}

// testAxe has axe-core look over pages, and looks itself that none is wider
// than its window. What night changes is colors alone, so that then the rules about them
// are enough.
func (w written) testAxe(t *testing.T, file string, pages []string, looks []look) {
	script, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	ctx := headless.Tab(t)
	host := w.serve(t)
	looked := 0
	for _, name := range pages {
		err := chromedp.Do(ctx, chromedp.Navigate(host+name), chromedp.WaitReady(chromedp.CSS("main")),
			chromedp.Evaluate[chromedp.Void](string(script)))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for _, l := range looks {
			err := chromedp.Do(ctx, chromedp.EmulateViewport(l.width, 900), emulated(l.lamp))
			told, axeErr := chromedp.Run(ctx, chromedp.Evaluate[string](axeRun(l.lamp == "dark"), chromedp.EvalAwaitPromise))
			wide, wideErr := chromedp.Run(ctx, chromedp.Evaluate[int64]("document.documentElement.scrollWidth"))
			if err != nil || axeErr != nil || wideErr != nil {
				t.Fatalf("%s: %v, %v, %v", name, err, axeErr, wideErr)
			}
			if told != "" || wide > l.width {
				t.Errorf("%s, %d px, %s: %d px wide; %s", name, l.width, l.lamp, wide, told)
			}
			looked++
		}
	}
	t.Logf("%d looks", looked)
}

// axeRun runs axe-core, and says what it found, a line for each.
func axeRun(colorsAlone bool) string {
	only := ""
	if colorsAlone {
		only = `runOnly: ["cat.color"], `
	}
	return `axe.run(document, {` + only + `resultTypes: ["violations"]}).then(r => r.violations.map(v =>
		v.nodes.slice(0, 3).map(n => v.id + ": " + v.help + ": " + n.html.slice(0, 160)).join("\n")).join("\n"))`
}

// emulated is a browser whose reader asks for light or dark pages, and for no motion.
func emulated(lamp string) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: lamp},
				{Name: "prefers-reduced-motion", Value: "reduce"}}})
		return err
	})
}

const (
	leastScore = 98 // of 100, in each category of Lighthouse
	// At most so many: whether the pictures below the first screen count among what comes
	// before its largest is a race of some milliseconds on one computer, which costs 4 to 8
	// points where it is lost.
	tries = 10
)

// toMeasure are the pages that Lighthouse looks at, as a phone on a slow line gets them
// (its default). A page that an edition does not have is left out.
var toMeasure = []string{"index.html", "weeks/*.html", "builds/lightship.html", "then-and-now.html", comparison}

// testLighthouse holds a page's scores against leastScore. Performance is simulated
// from what loads when, so that it hardly rests on how busy this computer is; where it
// does, the best of a few tries counts.
func (w written) testLighthouse(t *testing.T, script string) {
	node, host := program(t, "node"), w.serve(t)
	for _, pattern := range toMeasure {
		found, err := filepath.Glob(filepath.Join(w.dir, filepath.FromSlash(pattern)))
		if err != nil || len(found) == 0 {
			t.Logf("there is no %s", pattern)
			continue
		}
		rel, err := filepath.Rel(w.dir, found[len(found)-1])
		if err != nil {
			t.Fatal(err)
		}
		name, told := filepath.ToSlash(rel), ""
		for try := range tries {
			var good bool
			if good, told = lighthouse(t, node, script, host+name); good {
				t.Logf("%s: %s (try %d)", name, told, try+1)
				told = ""
				break
			}
			t.Logf("%s: %s (try %d)", name, told, try+1)
		}
		if told != "" {
			t.Errorf("%s: %s", name, told)
		}
	}
}

// lighthouse measures an address once, and says what it found.
func lighthouse(t *testing.T, node, script, address string) (good bool, told string) {
	t.Helper()
	flags := "--headless=new --no-sandbox --disable-background-networking --disable-component-update --disable-sync --disable-quic"
	ctx, stop := context.WithTimeout(t.Context(), 3*time.Minute)
	defer stop()
	cmd := exec.CommandContext(ctx, node, script, address, "--quiet", "--output=json", "--throttling-method=simulate", "--chrome-flags="+flags)
	cmd.Env = append(os.Environ(), "CHROME_PATH="+headless.Chromium(t))
	out, err := cmd.Output()
	var r struct {
		Categories map[string]struct {
			Score     float64
			AuditRefs []struct {
				ID     string
				Weight float64
			}
		}
		Audits map[string]struct {
			Title, DisplayValue string
			Score               *float64
		}
	}
	if err == nil {
		err = json.Unmarshal(out, &r)
	}
	if err != nil || len(r.Categories) < 4 {
		t.Fatalf("%s: %v: %.400s", address, err, out)
	}
	good = true
	var words []string
	for _, id := range []string{"performance", "accessibility", "best-practices", "seo"} {
		c := r.Categories[id]
		words = append(words, fmt.Sprintf("%s %.0f", id, 100*c.Score))
		good = good && 100*c.Score >= leastScore-0.5
		for _, ref := range c.AuditRefs {
			if a := r.Audits[ref.ID]; ref.Weight > 0 && a.Score != nil && *a.Score < 0.99 {
				words = append(words, fmt.Sprintf("(%s %.2f %s)", ref.ID, *a.Score, a.DisplayValue))
			}
		}
	}
	return good, strings.Join(words, ", ")
}

// testFeed has xmllint validate the feed by a schema after RFC 4287, and looks that it
// refuses one with a fault.
func (w written) testFeed(t *testing.T, module string) {
	feed := filepath.Join(w.dir, "feed.xml")
	data, err := os.ReadFile(feed)
	if err != nil {
		t.Fatal(err)
	}
	node := program(t, "node")
	check := func(feed string) (string, error) {
		out, err := exec.Command(node, "testdata/feed-check.mjs", module, "testdata/atom.rng", feed).CombinedOutput()
		return string(out), err
	}
	if told, err := check(feed); err != nil {
		t.Errorf("%v\n%.2000s", err, told)
	}
	for old, new := range map[string]string{"<updated>2": "<updated>the year 2", "<id>urn:uuid:": "<id>", "</title>": "</title><title>x</title>"} {
		bad := filepath.Join(t.TempDir(), "bad.xml")
		if err := os.WriteFile(bad, []byte(strings.Replace(string(data), old, new, 1)), 0o644); err != nil {
			t.Fatal(err)
		}
		if told, err := check(bad); err == nil {
			t.Errorf("a feed with %q was let pass: %s", new, told)
		}
	}
}
