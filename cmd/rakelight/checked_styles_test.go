// Each page links the style sheets that it needs, and no others.

package main

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"rakelight/render/headless"
)

// matched are the selectors of a style sheet that anything on the page matches, what
// the pointer, the keys and the paper decide left aside.
const matched = `(text => {
	const found = [], sheet = new CSSStyleSheet();
	sheet.replaceSync(text);
	const walk = rules => { for (const r of rules) {
		if (r.selectorText) {
			for (const one of r.selectorText.split(/,(?![^(]*\))/)) {
				const bare = one.replace(/::?(before|after|marker|placeholder|-webkit[-a-z]*|hover|focus-visible|focus-within|focus|active|target|checked|open)\b/g, "").trim();
				try { if (bare && document.querySelector(bare)) { found.push(one.trim()); } } catch (e) { found.push("not read: " + one); }
			}
		} else if (r.cssRules) { walk(r.cssRules); }
	} };
	walk(sheet.cssRules);
	return JSON.stringify(found);
})`

var ownStyle = regexp.MustCompile(`<link rel="stylesheet" href="([^"]+)">`)

func (w written) testStyles(t *testing.T) {
	sheets := map[string]string{}
	err := fs.WalkDir(os.DirFS(w.dir), "assets", func(name string, d fs.DirEntry, err error) error {
		if err != nil || path.Ext(name) != ".css" || name == "assets/site.css" {
			return err
		}
		data, err := os.ReadFile(filepath.Join(w.dir, filepath.FromSlash(name)))
		sheets[name] = string(data)
		return err
	})
	if err != nil || len(sheets) < 3 {
		t.Fatalf("%d style sheets, %v", len(sheets), err)
	}
	ctx, used := headless.Tab(t), map[string]bool{}
	for _, name := range w.kinds(t) {
		data, err := os.ReadFile(filepath.Join(w.dir, filepath.FromSlash(name)))
		if err == nil {
			err = chromedp.Do(ctx, open(w.dir, name), chromedp.WaitReady(chromedp.CSS("main")))
		}
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		linked := map[string]bool{}
		for _, m := range ownStyle.FindAllSubmatch(data, -1) {
			linked[path.Join(path.Dir(name), string(m[1]))] = true
		}
		for sheet, text := range sheets {
			quoted, _ := json.Marshal(text) // a string
			told, err := chromedp.Run(ctx, chromedp.Evaluate[string](fmt.Sprintf("%s(%s)", matched, quoted)))
			var found []string
			if err == nil {
				err = json.Unmarshal([]byte(told), &found)
			}
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			used[sheet] = used[sheet] || linked[sheet]
			if len(found) > 0 && !linked[sheet] {
				t.Errorf("%s needs %s for %s", name, sheet, strings.Join(found[:min(4, len(found))], ", "))
			} else if len(found) == 0 && linked[sheet] {
				t.Errorf("%s links %s and uses nothing of it", name, sheet)
			}
		}
	}
	for sheet := range sheets {
		if !used[sheet] && w.edition == "mine" { // readers get all sheets and need not all
			t.Errorf("no page links %s", sheet)
		}
	}
}
