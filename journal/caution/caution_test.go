package caution

import (
	"io/fs"
	"regexp"
	"slices"
	"strings"
	"testing"

	"rakelight/journal/plan"
	"rakelight/site"
)

// Words that would promise, or mean something else at the bench, and amounts that
// only a data sheet knows.
var (
	promise = regexp.MustCompile(`(?i)\b(un)?safe(ly)?\b`)
	masks   = regexp.MustCompile(`(?i)\bmasks?\b`)
	amounts = regexp.MustCompile(`[0-9]|(?i)\bppm\b|\bpercent\b`)
)

func TestEveryKindHasItsCaution(t *testing.T) {
	products := []string{"wash", "clean", "assemble", "seam", "prime", "paint", "detail", "gloss", "decal", "line", "weather",
		"top-coat", "base", "repair", "wait"}
	for _, kind := range plan.Kinds {
		plain := For(kind)
		if plain == "" {
			t.Errorf("%s has no caution", kind)
		}
		if got := strings.HasSuffix(plain, Deferral); got != slices.Contains(products, kind) {
			t.Errorf("%s defers to the label: %v", kind, got)
		}
		for _, text := range []string{plain, For(kind, "resin", "clear")} {
			for what, found := range map[string]*regexp.Regexp{"promises": promise, "speaks of a mask": masks, "names an amount": amounts} {
				if word := found.FindString(text); word != "" {
					t.Errorf("%s %s: %q in %q", kind, what, word, text)
				}
			}
			if strings.Count(text, Deferral) > 1 {
				t.Errorf("%s defers twice: %q", kind, text)
			}
			if n := len(text); n > 620 {
				t.Errorf("%s takes %d letters; nobody reads that", kind, n)
			}
		}
	}
	for kind := range byKind {
		if !slices.Contains(plan.Kinds, kind) {
			t.Errorf("%s is no kind of stage", kind)
		}
	}
	if got := For("own-work"); got != "" {
		t.Errorf("a kind that is none says %q", got)
	}
}

// Parts of resin and clear parts add their own, where the work is such.
func TestClassesAddToTheCaution(t *testing.T) {
	for _, c := range []struct{ kind, class, want string }{
		{"cut", "resin", "saw and sand it wet"}, {"clean", "resin", "respirator"}, {"wash", "resin", "allergic"},
		{"assemble", "clear", "clouds them"}, {"cut", "flat", ""}, {"paint", "resin", ""},
	} {
		plain, got := For(c.kind), For(c.kind, c.class)
		if c.want == "" && got != plain || c.want != "" && !strings.Contains(got, c.want) {
			t.Errorf("%s of %s: %q", c.kind, c.class, got)
		}
	}
	if !strings.HasSuffix(For("cut", "resin"), Deferral) {
		t.Error("resin is cut without its data sheet")
	}
}

// Nothing that a reader sees promises that something is without danger.
func TestPagesPromiseNoDanger(t *testing.T) {
	looked := 0
	err := fs.WalkDir(site.Files, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasPrefix(path, "fonts/") {
			return err
		}
		data, err := fs.ReadFile(site.Files, path)
		looked++
		text := strings.ReplaceAll(string(data), "safe-area-inset", "") // a word of style sheets
		if word := promise.FindString(text); word != "" {
			t.Errorf("%s says %q", path, word)
		}
		return err
	})
	if err != nil || looked < 30 {
		t.Fatalf("%d files looked at: %v", looked, err)
	}
}
