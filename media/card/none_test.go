// Pictures without cards: nothing is read in them.

package card_test

import (
	"crypto/sha256"
	"go/build"
	"image"
	"image/color"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/disintegration/imaging"

	"rakelight/journal"
	"rakelight/media"
	"rakelight/media/card"
	"rakelight/media/card/qr"
	"rakelight/media/card/shot"
	"rakelight/media/scene"
)

// Nothing is read in real pictures of many kinds, in crops of them made larger,
// smaller and turned, on drawn benches with other people's squares, and in patterns made to look like a
// symbol. The real ones are those that Go and the modules bring along for their
// own tests: camera photos, pictures of other codes than ours, screens, plots.
// RAKELIGHT_CARD_NONE=n takes all of them and n pictures in all; a part of them
// and 200 in all otherwise.
func TestNothingReadWhereNoCardIs(t *testing.T) {
	t.Parallel()
	n, _ := strconv.Atoi(os.Getenv("RAKELIGHT_CARD_NONE"))
	all := n > 0
	n = max(n, 200)
	counts := map[string]int{}
	look := func(kind, name string, img image.Image) {
		counts[kind]++
		if found := card.Find(card.PlaneOf(img)); len(found) > 0 {
			t.Errorf("%s %s: read %+v where no card is", kind, name, found)
		}
	}
	files := realPictures(t, all)
	for _, path := range files {
		if img, err := media.Decode(path, media.DefaultLimits); err == nil {
			look("real", path, img)
		}
	}
	drawn := max(10, n/20)
	for i := range 3 * drawn {
		s := shot.Shot{Width: 640, Height: 480, Seed: uint64(i), Noise: float64(i % 40), Uneven: float64(i%5) / 6, Squares: i % 4}
		img, err := s.Draw()
		if err != nil {
			t.Fatal(err)
		}
		look("drawn bench", strconv.Itoa(i), img)
	}
	kinds := []string{"inspect", "plan", "cut", "clean", "dry-fit", "seam", "paint", "decal", "weather"}
	models := []string{"lorry", "seaplane", "pilot-boat", "lightship"}
	for i := range drawn {
		s := scene.Shot{Model: models[i%len(models)], Kind: kinds[i%len(kinds)], Step: float64(i%7) / 6, Skill: float64(i%3) / 2, Light: "raking", Seed: uint64(i), Width: 800, Height: 600}
		look("drawn model", s.Model+" "+s.Kind, scene.Draw(s))
	}
	for i := range 2 * drawn {
		rng := rand.New(rand.NewPCG(11, uint64(i)))
		look("pattern", strconv.Itoa(i), turned(rng, pattern(i, rng)))
	}
	total := 0
	for _, c := range counts {
		total += c
	}
	for i := 0; total < n && i < 20*n && len(files) > 0; i++ {
		rng := rand.New(rand.NewPCG(12, uint64(i)))
		path := files[i%len(files)]
		img, err := media.Decode(path, media.DefaultLimits)
		if err != nil || img.Bounds().Dx() < 60 || img.Bounds().Dy() < 60 {
			continue
		}
		look("part of a real one", path, turned(rng, img))
		total++
	}
	t.Logf("%d pictures, nothing read: %v", total, counts)
	if counts["real"] < 20 {
		t.Errorf("only %d real pictures were found", counts["real"])
	}
}

// realPictures are the picture files that Go, the modules and this package's
// neighbor bring along, each once; all of them, or one in eight.
func realPictures(t *testing.T, all bool) []string {
	t.Helper()
	cache := os.Getenv("GOMODCACHE")
	if cache == "" {
		cache = filepath.Join(filepath.SplitList(build.Default.GOPATH)[0], "pkg", "mod")
	}
	endings := strings.Fields(".jpg .jpeg .png .gif .webp .heic .avif .tif .tiff .dng .cr2 .nef .arw .bmp")
	seen := map[[32]byte]bool{}
	var files []string
	for _, root := range []string{cache, build.Default.GOROOT, filepath.Join("..", "testdata")} {
		err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || !d.Type().IsRegular() || !slices.Contains(endings, strings.ToLower(filepath.Ext(path))) {
				return nil // what cannot be listed is not looked at
			}
			bytes, err := os.ReadFile(path)
			if err != nil {
				return nil
			}
			if sum := sha256.Sum256(bytes); !seen[sum] {
				seen[sum] = true
				if all || sum[0]%8 == 0 {
					files = append(files, path)
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return files
}

// turned is a part of a picture, made 300 to 1500 pixels long and turned.
func turned(rng *rand.Rand, img image.Image) image.Image {
	b := img.Bounds()
	w, h := int(float64(b.Dx())*(0.5+0.5*rng.Float64())), int(float64(b.Dy())*(0.5+0.5*rng.Float64()))
	x, y := b.Min.X+rng.IntN(b.Dx()-w+1), b.Min.Y+rng.IntN(b.Dy()-h+1)
	side := 300 + rng.IntN(1200)
	small := imaging.Fit(imaging.Crop(img, image.Rect(x, y, x+w, y+h)), side, side, imaging.Box)
	if small.Rect.Dx() < side && small.Rect.Dy() < side {
		small = imaging.Resize(small, max(1, side*small.Rect.Dx()/max(small.Rect.Dx(), small.Rect.Dy())), 0, imaging.Linear)
	}
	return imaging.Rotate(small, 360*rng.Float64(), color.Gray{Y: uint8(rng.IntN(256))})
}

// pattern draws one of the patterns that come near a symbol.
func pattern(kind int, rng *rand.Rand) image.Image {
	const side = 700
	img := image.NewGray(image.Rect(0, 0, side, side))
	cell := 4 + rng.IntN(16)
	modules := randomSymbol(rng, kind%7)
	lean := rng.Float64()
	for y := range side {
		for x := range side {
			dark := false
			switch kind % 7 {
			case 0: // checkerboard
				dark = (x/cell+y/cell)%2 == 0
			case 1: // grid
				dark = x%(3*cell) < cell || y%(3*cell) < cell
			case 2: // hatching
				dark = int(float64(x)+lean*float64(y))/cell%2 == 0
			case 3: // rings, each like a corner mark: etched mesh, washers
				cx, cy := float64(x%(11*cell))/float64(cell)-5.5, float64(y%(11*cell))/float64(cell)-5.5
				r := math.Max(math.Abs(cx), math.Abs(cy))
				if lean > 0.5 {
					r = math.Hypot(cx, cy)
				}
				dark = r < 1.5 || r > 2.5 && r < 3.5
			default: // whole symbols with the right marks and nothing in them
				u, v := x/cell-3, y/cell-3
				u, v = u%(qr.Side+8), v%(qr.Side+8)
				dark = u >= 0 && v >= 0 && u < qr.Side && v < qr.Side && modules[v][u]
			}
			gray := 215 + rng.IntN(20)
			if dark {
				gray -= 180
			}
			img.Pix[y*img.Stride+x] = uint8(gray)
		}
	}
	return img
}

// randomSymbol has all that symbols have alike. What it says is random; or it
// says something in another's words.
func randomSymbol(rng *rand.Rand, kind int) [][]bool {
	words := []byte("RL0123456789ABCD")
	rng.Shuffle(len(words), func(i, k int) { words[i], words[k] = words[k], words[i] })
	modules, err := qr.Encode(string(words))
	if err != nil {
		panic(err) // sixteen such characters fit
	}
	for y := range modules {
		for x := range modules[y] {
			if kind == 4 && x > 8 && y > 8 {
				modules[y][x] = rng.IntN(2) == 0
			}
		}
	}
	return modules
}

// A card of which a part is lost is read as what it says, or not at all.
// RAKELIGHT_CARD_DAMAGED=n damages n cards; the first 100 otherwise.
func TestDamagedCardsSayNothingElse(t *testing.T) {
	t.Parallel()
	n, _ := strconv.Atoi(os.Getenv("RAKELIGHT_CARD_DAMAGED"))
	n = max(n, 100)
	read := 0
	for i := range n {
		rng := rand.New(rand.NewPCG(13, uint64(i)))
		all := everyFace()
		want, err := all[rng.IntN(len(all))].Card.Text()
		if err != nil {
			t.Fatal(err)
		}
		modules, err := qr.Encode(want)
		if err != nil {
			t.Fatal(err)
		}
		lost := 0.02 + 0.16*rng.Float64()
		for y := range modules {
			for x := range modules[y] {
				if corner := min(x, qr.Side-1-x) < 8 && min(y, qr.Side-1-y) < 8 && (x < 8 || y < 8); !corner && rng.Float64() < lost {
					modules[y][x] = rng.IntN(2) == 0
				}
			}
		}
		for _, f := range card.Find(planeOfModules(modules)) {
			read++
			if f.Text != want {
				t.Errorf("a damaged card that says %q was read as %q", want, f.Text)
			}
			if _, err := journal.ParseCard(f.Text); err != nil {
				t.Errorf("%q was read, which is no card", f.Text)
			}
		}
	}
	t.Logf("%d of %d damaged cards read", read, n)
	if read*10 < n || read*40 > n*39 {
		t.Errorf("%d of %d damaged cards read: the damage tests nothing", read, n)
	}
}
