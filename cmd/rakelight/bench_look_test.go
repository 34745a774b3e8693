// Tests in a real browser of what the pages beside the mat look like: on a phone 360
// and 320 px wide, by day and at night. RAKELIGHT_AXE names axe.min.js of axe-core,
// which then looks over each of them.

package main

import (
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"rakelight/site"
)

// fullBench makes a journal with something to show on each page, and returns the pages.
func fullBench(t *testing.T) (dir, at string, pages []string) {
	dir, at, _, _ = benchServed(t)
	build := filepath.Join(dir, "builds", "pilot-boat", "build.md")
	text, err := os.ReadFile(build)
	if err != nil {
		t.Fatal(err)
	}
	title := []byte("title: Harbor pilot boat of the northern station, winter fit")
	text = []byte(string(regexp.MustCompile(`(?m)^title: .*`).ReplaceAll(text, title)) + "\n## Order of work\n\n- [ ] check every runner\n" +
		"- [x] wash\n\n## Supplies\n\n- [ ] clear gel (ordered 2026-11-20)\n- [ ] thin tape\n")
	if err := os.WriteFile(build, text, 0o644); err != nil {
		t.Fatal(err)
	}
	for i := range 3 {
		file := photoFile(t, fmt.Sprintf("IMG_%04d.jpg", i), 1000+i, time.Time{})
		data, err := os.ReadFile(file)
		if err == nil {
			data = append(data, byte(i))
			err = os.WriteFile(filepath.Join(dir, "inbox", filepath.Base(file)), data, 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	runners := ""
	for _, letter := range "ABCDEFGHIJKL" {
		runners += " --runner " + string(letter) + ":40"
	}
	for _, args := range []string{"take", "build diorama --title Lightship_diorama --stages cut,clean" + runners, "on pilot-boat dry-fit", "done A1-A5", "off", "on pilot-boat cut", "done A1-A9",
		"prep A2 pull left", "hold curing A3 --of filler", "sub cab A1-A4", "runners A5 missing",
		"mix pilot-boat hull --recipe 3_red,1_white", "sanding pilot-boat A4 --remove nub --finish primed --surface flat"} {
		all := strings.Fields(args)
		for i := range all {
			all[i] = strings.ReplaceAll(all[i], "_", " ")
		}
		var out, errs strings.Builder
		if code := run(t.Context(), append([]string{"--journal", dir}, all...), &out, &errs, time.Now); code == exitUsage {
			t.Fatalf("%s: %s", args, errs.String())
		} else if code != exitDone {
			t.Logf("%s: %s", args, errs.String())
		}
	}
	return dir, at, []string{"", "?open=1", "begin", "begin?build=lorry", "parts?build=pilot-boat&stage=dry-fit", "words",
		"pause?build=pilot-boat", "find", "part?build=pilot-boat&part=A4", "prep?build=pilot-boat&part=A4&what=pegs",
		"prep?build=pilot-boat&part=A4&what=curing", "check", "back", "hands", "supplies", "more", "day", "sort", "photo",
		"parts?build=diorama&stage=cut", "check?build=diorama", "said", "sub", "sub?build=diorama", "mix", "addition", "sanding?build=pilot-boat&part=A4", "tasks", "alike"}
}

// narrow are the faults of a page that a thumb meets: what is smaller than 64 px (of a
// box in a label the label counts, links in running text do not), and what is wider than
// the screen.
const narrow = `(() => { const faults = [];
	if (document.documentElement.scrollWidth > innerWidth) { faults.push("the page is " + document.documentElement.scrollWidth + " px wide"); }
	for (let e of document.querySelectorAll("a, button, input:not([type=hidden]), select, textarea, summary")) {
		if (e.matches("input[type=checkbox], input[type=radio], input[type=file]") && e.closest("label")) { e = e.closest("label"); }
		const r = e.getBoundingClientRect(), inText = e.matches("a") && getComputedStyle(e).display === "inline";
		if (r.width === 0 && r.height === 0 || inText) { continue; }
		if (Math.round(r.height) < 64 || Math.round(r.width) < (innerWidth < 360 ? 56 : 64)) {
			faults.push((e.getAttribute("aria-label") || e.textContent || e.name).trim().slice(0, 40) + ": " + r.width + " by " + r.height);
		}
		if (r.right > innerWidth + 1) { faults.push("beyond the edge: " + e.textContent); }
		if (e.scrollWidth > e.clientWidth + 1 && e.clientWidth && !e.matches("input, textarea")) { faults.push("cut off: " + e.textContent); }
	}
	return faults.join("\n"); })()`

func TestLooksOfTheMat(t *testing.T) {
	_, at, pages := fullBench(t)
	if axeScript(t) == "" {
		t.Log("not looked over by axe-core: RAKELIGHT_AXE names no axe.min.js")
	}
	p := newPhone(t, at+"bench/")
	for _, page := range pages {
		p.do(chromedp.Navigate(at + "bench/" + page))
		for _, width := range []int64{360, 320} {
			p.do(chromedp.EmulateViewport(width, 740, chromedp.EmulateMobile, chromedp.EmulateTouch))
			if faults := p.eval(narrow); faults != "" {
				t.Errorf("%s at %d px:\n%s", page, width, faults)
			}
		}
		p.do(chromedp.EmulateViewport(360, 740, chromedp.EmulateMobile, chromedp.EmulateTouch))
		p.shot("page-" + strings.NewReplacer("?", "-", "&", "-", "=", "-").Replace(page))
	}
}

// axeScript is axe-core, "" = not asked for.
func axeScript(t *testing.T) string {
	t.Helper()
	file := os.Getenv("RAKELIGHT_AXE")
	if file == "" {
		return ""
	}
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// axe reports what axe-core finds wrong, or what it finds wrong with colors alone. From
// disk it may not read style sheets, and is not let try: what it is refused comes late.
func (p *phone) axe(script, page string, colorsAlone bool) {
	p.t.Helper()
	type violation struct {
		ID, Help string
		Nodes    []struct{ HTML string }
	}
	only := ""
	if colorsAlone { // the enhanced rule is not asked by day either
		only = `, runOnly: ["cat.color"], rules: {"color-contrast-enhanced": {enabled: false}}`
	}
	p.do(chromedp.Evaluate[chromedp.Void](script))
	text, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](
		`axe.run(document, {preload: location.protocol !== "file:"`+only+`}).then(r => JSON.stringify(r.violations))`,
		chromedp.EvalAwaitPromise))
	var all []violation
	if err == nil {
		err = json.Unmarshal([]byte(text), &all)
	}
	if err != nil {
		p.t.Fatalf("%s: %v", page, err)
	}
	for _, v := range all {
		for _, n := range v.Nodes {
			p.t.Errorf("%s: %s: %s: %s", page, v.ID, v.Help, n.HTML)
		}
	}
}

// byNight is what style sheets change at night.
var byNight = regexp.MustCompile(`(?s)@media \(prefers-color-scheme: dark\) \{\s*[^{]*\{(.*?)\}`)

// At night colors change and nothing else, so that then axe-core is asked for its rules
// about them alone.
func TestNightChangesColorsAlone(t *testing.T) {
	found := 0
	err := fs.WalkDir(site.Files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || path.Ext(name) != ".css" {
			return err
		}
		data, err := fs.ReadFile(site.Files, name)
		all := byNight.FindAllSubmatch(data, -1)
		if n := strings.Count(string(data), "prefers-color-scheme"); n != len(all) {
			t.Errorf("%s: %d rules of the night, of which %d can be read", name, n, len(all))
		}
		for _, m := range all {
			for one := range strings.SplitSeq(string(m[1]), ";") {
				one = strings.TrimSpace(one)
				if found++; one != "" && !strings.HasPrefix(one, "--") && !strings.HasPrefix(one, "color-scheme:") {
					t.Errorf("%s: at night %s", name, one)
				}
			}
		}
		return err
	})
	if err != nil || found < 20 {
		t.Errorf("%d declarations, %v", found, err)
	}
}

// A journal without a build has something to say on each page, and says what to do.
func TestEmptyMat(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "bench")
	var out, errs strings.Builder
	if code := run(t.Context(), []string{"new", dir, "--zone", "UTC"}, &out, &errs, time.Now); code != exitDone {
		t.Fatal(errs.String())
	}
	at, _ := through(t, dir)
	p := newPhone(t, at+"bench/")
	p.see("No build yet")
	p.see("Plan a build")
	for _, page := range []string{"", "begin", "words", "find", "check", "back", "hands", "supplies", "more", "day", "sort",
		"photo", "said", "sub", "mix", "addition", "tasks"} {
		p.do(chromedp.Navigate(at + "bench/" + page))
		if text := p.eval(`document.querySelector("h1").innerText + "\n" + document.body.innerText`); strings.Contains(text, `""`) || strings.Contains(text, "Not done") {
			t.Errorf("%s says %q", page, text)
		}
		if faults := p.eval(narrow); faults != "" {
			t.Errorf("%s:\n%s", page, faults)
		}
		p.shot("empty-" + page)
	}
}

// A page with all it needs, before any photo, comes in 100 KB.
func TestWeightOfTheMat(t *testing.T) {
	dir, at, pages := fullBench(t)
	get := func(address string) int {
		resp, err := http.Get(at + "bench/" + address)
		if err != nil {
			t.Fatal(err)
		}
		defer resp.Body.Close()
		data, err := io.ReadAll(resp.Body)
		if err != nil || resp.StatusCode != http.StatusOK {
			t.Fatalf("%s: %s, %v", address, resp.Status, err)
		}
		return len(data)
	}
	around := get("bench.css") + get("bench.js") + get("photo.js")
	most := 0
	for _, page := range pages {
		if n := get(page) + around; n > 100<<10 {
			t.Errorf("%s: %d bytes", page, n)
		} else {
			most = max(most, n)
		}
	}
	t.Logf("%s: the heaviest has %d bytes, %d of them scripts and styles", filepath.Base(dir), most, around)
}
