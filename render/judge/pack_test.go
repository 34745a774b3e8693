// Tests of packs: that they are blind, whole, bounded, and fit their key.

package judge

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"image/jpeg"
	"math/rand/v2"
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"rakelight/journal"
	"rakelight/site"
)

var dataIn = regexp.MustCompile(`(?s)<script type="application/json" id="data">(.*?)</script>`)

// opened returns the words of a pack, without what is in base64, and its data.
func opened(t *testing.T, html []byte) (words string, data packData) {
	t.Helper()
	m := dataIn.FindSubmatchIndex(html)
	if m == nil {
		t.Fatal("no data in the pack")
	}
	if err := json.Unmarshal(html[m[2]:m[3]], &data); err != nil {
		t.Fatal(err)
	}
	rest := data
	rest.Pictures = nil
	head, err := json.Marshal(rest)
	if err != nil {
		t.Fatal(err)
	}
	words = string(html[:m[2]]) + string(head) + string(html[m[3]:])
	for _, name := range fonts {
		font, err := site.Files.ReadFile("fonts/" + name)
		if err != nil {
			t.Fatal(err)
		}
		words = strings.Replace(words, base64.StdEncoding.EncodeToString(font), "", 1)
	}
	for name := range data.Pictures {
		words += " " + name
	}
	return words, data
}

// segments are the markers of a JPEG up to its pixels.
func segments(data []byte) (markers []byte) {
	for at := 2; at+4 <= len(data) && data[at] == 0xff; {
		markers = append(markers, data[at+1])
		if data[at+1] == 0xda {
			return markers
		}
		at += 2 + int(data[at+2])<<8 + int(data[at+3])
	}
	return markers
}

// Nothing in a pack tells builds, days, cameras, files, or the shapes and sizes
// of the originals; it reaches for nothing outside; and its key fits.
func TestPackIsBlind(t *testing.T) {
	_, j := served(t)
	made, err := Pack(context.Background(), j, 12, nil, 7)
	if err != nil {
		t.Fatal(err)
	}
	words, data := opened(t, made.HTML)
	if len(words) > 40000 {
		t.Errorf("%d bytes beside pictures and fonts: is there something in them?", len(words))
	}
	telling := []string{"pilot", "boat", "lorry", "Tarrow", "T-24", "0042817", "2026:03", "2026-03", "photos/", ".jpg", "Bench", j.Dir, "Exif\x00", "ICC_PROFILE", "ns.adobe.com", "JFIF",
		strings.Repeat("a", 8), strings.Repeat("b", 8)}
	for _, word := range append(telling, "2026", "http:", "https:", "//") {
		if strings.Contains(words, word) && word != "//" || word == "//" && strings.Contains(regexp.MustCompile(`(?m)\s// .*$`).ReplaceAllString(strings.ReplaceAll(words, "/*", ""), ""), "://") {
			t.Errorf("%q can be read", word)
		}
	}
	sizes := map[string]int{}
	for name, text := range data.Pictures {
		picture, err := base64.StdEncoding.DecodeString(text)
		if err != nil {
			t.Fatal(err)
		}
		for _, word := range telling {
			if bytes.Contains(picture, []byte(word)) {
				t.Errorf("%q can be read in picture %s", word, name)
			}
		}
		if cfg, err := jpeg.DecodeConfig(bytes.NewReader(picture)); err != nil || cfg.Width != width || cfg.Height != height {
			t.Errorf("%s: %v, %d × %d", name, err, cfg.Width, cfg.Height)
		}
		for _, marker := range segments(picture) {
			if marker >= 0xe0 && marker <= 0xef || marker == 0xfe {
				t.Errorf("%s has a segment %x", name, marker)
			}
		}
		// All are written with the same tables.
		sizes[string(picture[:bytes.Index(picture, []byte{0xff, 0xc0})])]++
	}
	if len(sizes) != 1 {
		t.Errorf("%d different heads of pictures", len(sizes))
	}
	// Each photo stands in the file once, and the key is the only way from name
	// to photo.
	if len(data.Pictures) != 2 || made.Pictures != 2 || len(data.Pairs) != len(made.Key.Pairs) || made.Pairs+made.Again != len(data.Pairs) || data.Pack != made.Key.Pack {
		t.Fatalf("%+v", made.Key)
	}
	of := map[string]string{}
	for i, p := range data.Pairs {
		k := made.Key.Pairs[i]
		if p.ID != k.ID || data.Asked[p.Asked].Text != question(journal.Criteria[k.Criterion-1]) {
			t.Errorf("pair %d: %+v, key %+v", i, p, k)
		}
		for _, one := range [][2]string{{p.Left, k.Left}, {p.Right, k.Right}} {
			if of[one[0]] == "" {
				of[one[0]] = one[1]
			}
			if of[one[0]] != one[1] {
				t.Errorf("picture %s is two photos", one[0])
			}
		}
	}
	again, err := Pack(context.Background(), j, 12, nil, 7)
	if err != nil || again.Key.Pack == made.Key.Pack || reflect.DeepEqual(again.Key, made.Key) {
		t.Errorf("a second pack has the names of the first: %v", err)
	}
}

// A photo that is smaller than the other of its pair takes the other's fine
// detail away, so that sharpness tells no camera.
func TestPackEvensOutDetail(t *testing.T) {
	_, j := served(t) // 160 × 120 and 120 × 240 when upright
	pair := j.State.PackPairs(1, []int{1}, rand.New(rand.NewPCG(1, 1)), nil)[0]
	if got := detailOf(&pair); got != 120 {
		t.Errorf("detail %d, want that of the lesser one, 120", got)
	}
	big := journal.BlindPair{Left: &journal.Photo{Width: 4000, Height: 3000}, Right: &journal.Photo{Width: 3000, Height: 4000}}
	if got := detailOf(&big); got != width {
		t.Errorf("large photos are shown at %d", got)
	}
}

// Photos that cannot be read are passed over; without a pair there is no pack.
func TestPackPassesOver(t *testing.T) {
	_, j := served(t)
	if err := os.Remove(j.Path(j.State.Photos[0].Path)); err != nil {
		t.Fatal(err)
	}
	made, err := Pack(context.Background(), j, 5, nil, 1)
	var ask *journal.AskError
	if made != nil || !errors.As(err, &ask) || !strings.Contains(ask.What, "no two photos compare") {
		t.Errorf("%+v, %v", made, err)
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	_, whole := served(t)
	if _, err := Pack(ctx, whole, 5, nil, 1); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
}

// A pack that would be too large is made with smaller pictures, all alike; where
// that is not enough, it says how many pairs would do.
func TestPackIsBounded(t *testing.T) {
	_, j := served(t)
	ctx := context.Background()
	whole, err := packWithin(ctx, j, 12, nil, 7, MaxPack)
	if err != nil || whole.Quality != quality || len(whole.HTML) > MaxPack {
		t.Fatalf("%v", err)
	}
	less, err := packWithin(ctx, j, 12, nil, 7, len(whole.HTML)-1)
	if err != nil || less.Quality >= quality || len(less.HTML) >= len(whole.HTML) {
		t.Errorf("%v", err)
	}
	var ask *journal.AskError
	if _, err := packWithin(ctx, j, 12, nil, 7, 5000); !errors.As(err, &ask) || !strings.Contains(ask.Hint, "--pairs 1") {
		t.Errorf("%v", err)
	}
}
