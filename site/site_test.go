// The files are all there, light enough, and readable in both lights.

package site

import (
	"io/fs"
	"math"
	"path"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// A folder forgotten in the embedding pattern fails here.
func TestEveryFolder(t *testing.T) {
	for _, name := range []string{
		"shared/frame.html", "shared/shared.css", "shared/lamp.js", "home/home.html", "build/build.html", "book/kit.html", "sheet/sheet.js",
		"compare/compare.js", "compare/anytwo.js", "compare/moved.html", "pace/pace.html", "skill/skill.html", "forecast/forecast.html",
		"mistakes/mistakes.html", "trials/trials.html", "sort/sort.html", "help/help.html", "help/format.html", "fonts/OFL-serif.txt", "fonts/OFL-sans.txt", "drawn/serif-regular.ttf",
	} {
		if data, err := fs.ReadFile(Files, name); err != nil || len(data) == 0 {
			t.Error(name, err)
		}
	}
}

func TestFontsAreLight(t *testing.T) {
	css, err := fs.ReadFile(Files, "shared/shared.css")
	if err != nil {
		t.Fatal(err)
	}
	fonts, err := fs.ReadDir(Files, "fonts")
	if err != nil {
		t.Fatal(err)
	}
	total := int64(0)
	for _, f := range fonts {
		info, err := f.Info()
		if err != nil {
			t.Fatal(err)
		}
		if path.Ext(f.Name()) == ".woff2" {
			total += info.Size()
			if !strings.Contains(string(css), f.Name()) {
				t.Error(f.Name(), "is not used")
			}
		}
	}
	if total == 0 || total > 120<<10 {
		t.Errorf("the fonts take %d bytes", total)
	}
}

// What stills are drawn with is part of the program, and of no page.
func TestDrawnLettersAreLight(t *testing.T) {
	cuts, err := fs.ReadDir(Files, "drawn")
	if err != nil {
		t.Fatal(err)
	}
	total := int64(0)
	for _, f := range cuts {
		info, err := f.Info()
		if err != nil {
			t.Fatal(err)
		}
		total += info.Size()
	}
	if total == 0 || total > 200<<10 {
		t.Errorf("the letters take %d bytes", total)
	}
}

// Inks, soft inks and the whole ramp are read at 4.5 to 1 on paper and tray;
// lines that bound controls at 3 to 1 (WCAG 2.2, 1.4.3 and 1.4.11).
func TestContrast(t *testing.T) {
	css, err := fs.ReadFile(Files, "shared/shared.css")
	if err != nil {
		t.Fatal(err)
	}
	blocks := regexp.MustCompile(`(?s)color-scheme: (light|dark);(.*?)\}`).FindAllStringSubmatch(string(css), -1)
	if len(blocks) != 3 {
		t.Fatalf("%d sets of colors", len(blocks))
	}
	if blocks[1][2] == "" || strings.Join(strings.Fields(blocks[1][2]), " ") != strings.Join(strings.Fields(blocks[2][2]), " ") {
		t.Error("dark by the system and dark by choice differ")
	}
	for _, b := range blocks {
		color := map[string]float64{}
		for _, m := range regexp.MustCompile(`--([a-z0-9]+): #([0-9a-f]{6});`).FindAllStringSubmatch(b[2], -1) {
			color[m[1]] = luminance(t, m[2])
		}
		if len(color) != 17 {
			t.Errorf("%s: %d colors", b[1], len(color))
		}
		for name, c := range color {
			least := 4.5
			switch name {
			case "paper", "tray", "hair":
				continue
			case "line":
				least = 3
			}
			for _, ground := range []string{"paper", "tray"} {
				if got := contrast(c, color[ground]); got < least {
					t.Errorf("%s: %s on %s has %.2f to 1", b[1], name, ground, got)
				}
			}
		}
	}
}

func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		n, err := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		if err != nil {
			t.Fatal(err)
		}
		c := float64(n) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

func contrast(a, b float64) float64 { return (math.Max(a, b) + 0.05) / (math.Min(a, b) + 0.05) }
