// The person's Markdown: photos, links, headings, and what is kept out.

package render

import (
	"strings"
	"testing"
)

func TestProse(t *testing.T) {
	v := smallView()
	tx := v.texts()
	photo := byDay(v.State, "2024-02-10")
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
		{"table without style", "|a|\n|-:|\n|1|", `align="right"`, "style=", 0},
		{"task", "- [x] done", `type="checkbox"`, "", 0},
		{"nothing", "  \n", "", "<", 0},
	} {
		got := tx.render(c.in, around{root: top, prefix: "p-", below: 3})
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
