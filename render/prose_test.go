// The person's Markdown: photos, links, headings, and what is kept out.

package render

import (
	"regexp"
	"strings"
	"testing"

	"rakelight/journal"
)

func TestProse(t *testing.T) {
	v := smallView()
	tx := v.texts()
	photo, other := byDay(v.State, "2024-02-10"), byDay(v.State, "2024-01-20")
	for _, c := range []struct {
		name, in, holds, lacks string
		warnings               int
	}{
		{"photo by short name", "![Keel](" + photo.Short() + ")", `alt="Keel"`, "", 0},
		{"photo without words", "![](" + photo.Short() + ")", `alt="Lightship, cleanup, after, left view`, "", 0},
		{"photo has its sizes", "![](" + photo.Short() + ")", "../photos/" + photo.Short() + "-480.jpg 480w", "", 0},
		{"title is a caption", `![x](` + photo.Short() + ` "At <last>")`, "At &lt;last&gt;", "", 0},
		{"file name many photos share", "![x](" + secretName + ")", "[no photo: x, " + secretName + "]", "<img", 1},
		{"picture elsewhere", "![x](https://example.com/a.png)", "[no photo: x, a.png]", "https:", 1},
		{"picture outside", "![](../../../etc/passwd)", "[no photo: passwd]", "..", 1},
		{"raw markup", "<img src=x onerror=alert(1)>\n\ntext", "text", "<img", 0},
		{"script link", "[x](javascript:alert(1))", "x", "href", 1},
		{"data link", "[x](data:text/html,a)", "x", "href", 1},
		{"other host", "[x](//example.com/a)", "x", "href", 1},
		{"link to a build", "[boat](../../pilot-boat/build.md)", `href="../builds/pilot-boat.html"`, "", 0},
		{"link to a photo", "[p](" + photo.Short() + ")", `href="../photos/` + photo.Short() + `-960.jpg"`, "", 0},
		{"link to a file", "[plan](plan.pdf)", "plan", "href", 1},
		{"words of a lost link keep their form", "[the **bold** one](plan.pdf)", "the <strong>bold</strong> one", "href", 1},
		{"web", "[w](https://example.com/x)", `href="https://example.com/x"`, "", 0},
		{"other scripts", "## Zählung\n\n## 日本\n\n## 日本\n\n## !!", `id="p-text-zählung"`, `id="heading"`, 0},
		{"headings twice", "## 日本\n\n## 日本", `id="p-text-日本-2"`, "", 0},
		{"headings stand lower", "# One", "<h4", "<h1", 0},
		{"table without style", "|a|b|\n|-:|-|\n|1|2|", `<td class="to-right">1</td>`, "style=", 0},
		{"table without obsolete attributes", "|a|\n|:-:|\n|1|", `<th class="to-center">a</th>`, "align=", 0},
		{"task", "- [x] done", `<input type="checkbox" disabled checked aria-label="done">`, "", 0},
		{"task with markup", "- [ ] sand **A12** & \"rinse\"", `disabled aria-label="sand A12 &amp; &#34;rinse&#34;"`, "checked", 0},
		{"photo alone stands between paragraphs", "One.\n\n![Keel](" + photo.Short() + ")\n\nTwo.", `<figure class="plate plate-single">`, "<p><figure", 0},
		{"photo among words stays there", "One ![Keel](" + photo.Short() + ") two.", `<span class="embed">`, "<figure", 0},
		{"pair", "![At the keel](" + photo.Short() + "+" + other.Short() + ")", `<figure class="plate plate-pair">`, "embed", 0},
		{"words of a pair", "![At the keel](" + photo.Short() + ".." + other.Short() + ")", `<figcaption class="plate-words">At the keel</figcaption>`, "", 0},
		{"pair among words", "One ![x](" + photo.Short() + "+" + other.Short() + ") two.", `<span class="embed">`, "<figure", 0},
		{"pair with one unknown", "![At the keel](" + photo.Short() + "+ffffffff)", "[no photo: At the keel, ffffffff]", "<img", 1},
		{"a plus in a file name is no pair", "![x](a+b.jpg)", "[no photo: x, a+b.jpg]", "<img", 1},
		{"strip", strings.Repeat("![x]("+photo.Short()+")\n", 3), `<figure class="plate plate-strip">`, "plate-single", 0},
		{"two are no strip", strings.Repeat("![x]("+photo.Short()+")\n", 2), `<figure class="plate plate-single">`, "plate-strip", 0},
		{"photo in a list", "- ![x](" + photo.Short() + ")", `<span class="embed">`, "<figure", 0},
		{"part", "[the cab](part:B12)", `href="../builds/lightship/kit-2.html#B12"`, "", 0},
		{"part of a kit", "[the cab](part:1/A2)", `href="../builds/lightship/kit-1.html#A2"`, "", 0},
		{"first of several parts", "[the cab](part:B12-B14)", `href="../builds/lightship/kit-2.html#B12"`, "", 0},
		{"part that is not there", "[the cab](part:Z9)", "the cab", "href", 1},
		{"part of another build", "[its hull](../../lightship/build.md#B3)", `href="../builds/lightship/kit-2.html#B3"`, "", 0},
		{"day", "[then](2024-02-17.md)", `href="../days/2024-02-17.html"`, "", 0},
		{"day of another build", "[then](../../pilot-boat/diary/2021-04-04.md)", `href="../days/2021-04-04.html"`, "", 0},
		{"day without anything", "[then](2019-02-17.md)", "then", "href", 1},
		{"week", "[that week](2024-W06)", `href="../weeks/2024-W06.html"`, "", 0},
		{"nothing", "  \n", "", "<", 0},
	} {
		got := tx.render(c.in, around{root: top, prefix: "p-", below: 3, build: v.builds["lightship"]})
		html := string(got.html)
		if !strings.Contains(html, c.holds) || c.lacks != "" && strings.Contains(html, c.lacks) || len(got.warnings) != c.warnings {
			t.Errorf("%s: %q, warnings %q; want %q, not %q, %d warnings", c.name, html, got.warnings, c.holds, c.lacks, c.warnings)
		}
	}
}

func TestLongTextIsNotShown(t *testing.T) {
	tx := smallView().texts()
	if got := tx.render(strings.Repeat("*a_", maxText), around{root: top, prefix: "p-", below: 3}); got.html != "" || len(got.warnings) != 1 {
		t.Errorf("%d bytes, %q", len(got.html), got.warnings)
	}
}

func TestExcerpt(t *testing.T) {
	tx := smallView().texts()
	for in, want := range map[string]string{
		"# Head\n\n![x](y)\n\nFirst *words*\nhere.\n\nSecond.": "First words here.",
		"- a list":                 "",
		"":                         "",
		strings.Repeat("ab ", 300): strings.TrimSpace(strings.Repeat("ab ", 133)) + " …",
	} {
		if got := tx.excerpt(in); got != want {
			t.Errorf("%.30q: %q, want %q", in, got, want)
		}
	}
}

// Headings come directly below the one around the text, without gaps, whatever was
// typed.
func TestLowerHeadings(t *testing.T) {
	tx := smallView().texts()
	for in, want := range map[string]string{
		"## Two\n\n## Two": "33", "# One\n\n## Two\n\n# One": "343", "# One\n\n#### Four\n\n## Two\n\n### Three": "3445",
		"### Three\n\n# One\n\n## Two": "334", "# 1\n\n## 2\n\n### 3\n\n#### 4\n\n##### 5": "34566",
	} {
		got := ""
		for _, m := range headingLevels.FindAllStringSubmatch(string(tx.render(in, around{below: 2}).html), -1) {
			got += m[1]
		}
		if got != want {
			t.Errorf("%q: %s, want %s", in, got, want)
		}
	}
}

// A reader sees the words of what cannot be shown, and no warning.
func TestProseForReaders(t *testing.T) {
	v := readersView()
	got := v.texts().render("One ![the keel](ffffffff) two, [that](part:Z9).", around{build: v.builds["lightship"]})
	if want := "<p>One the keel two, that.</p>"; strings.TrimSpace(string(got.html)) != want || got.warnings != nil {
		t.Errorf("%q, %q", got.html, got.warnings)
	}
}

// What a text shows is known without reading its structure.
func TestInWords(t *testing.T) {
	v := smallView()
	photo, other := byDay(v.State, "2024-02-10"), byDay(v.State, "2024-01-20")
	d := &benchDay{words: []*journal.DiaryDay{{Body: "![a](" + photo.Short() + "+" + other.Short() + ") [b](x) ![c](gone)"}}}
	if got := v.inWords(d); len(got) != 2 || !got[photo.Hash] || !got[other.Hash] {
		t.Errorf("%v", got)
	}
}

// No text stops the pages, and none makes markup of its own.
func FuzzProse(f *testing.F) {
	v := smallView()
	photo := byDay(v.State, "2024-02-10").Short()
	for _, seed := range []string{"![a](" + photo + "+" + photo + ")", strings.Repeat("![x]("+photo+")\n", 4), "[x](part:A1)", "- [ ] ![x](" + photo + ")",
		"# a\n### b", "> ![x](" + photo + ")\n>\n> - [x] <b>", "[^1] ![x](" + photo + ")\n\n[^1]: ![y](" + photo + ")", "|a|\n|-|\n|![x](" + photo + ")|"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, source string) {
		if len(source) > 2000 {
			return
		}
		html := string(v.texts().render(source, around{root: top, prefix: "p-", below: 2, build: v.builds["lightship"]}).html)
		for _, m := range anyElement.FindAllStringSubmatch(html, -1) {
			if !proseElements[m[1]] {
				t.Errorf("%q makes <%s>", source, m[1])
			}
		}
		if strings.Contains(html, "javascript:") && strings.Contains(html, `href="javascript:`) {
			t.Errorf("%q leads to a script", source)
		}
	})
}

var anyElement = regexp.MustCompile(`<([a-zA-Z][a-zA-Z0-9]*)`)

var proseElements = func() map[string]bool {
	all := map[string]bool{}
	for _, name := range strings.Fields("p a em strong del code pre br hr h1 h2 h3 h4 h5 h6 ul ol li blockquote table thead tbody tr th td img span div figure figcaption time sup input section") {
		all[name] = true
	}
	return all
}()
