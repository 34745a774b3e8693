package journal

import (
	"crypto/sha256"
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
)

// The finder and the question asked once answer alike, whatever the name.
func TestPhotoFinder(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	s := &State{}
	names := []string{"grün.jpg", "gru\u0308n.jpg", "gr\u00fcn.jpg", "grun.jpg", "", "a", "IMG_1.JPG", "photos", "0000", `photos\2024\x.jpg`, ".", "zzzz"}
	for i := range 400 {
		hash := fmt.Sprintf("%x", sha256.Sum256(fmt.Append(nil, i%390))) // some alike
		p := &Photo{Hash: hash, Path: fmt.Sprintf("photos/2024/%s.jpg", hash[:6]), Name: fmt.Sprintf("IMG_%d.JPG", i%50)}
		if i%5 == 0 {
			p.Beside = []Original{{Hash: strings.Repeat(hash[:2], 32), Path: p.Path + ".xmp", Name: fmt.Sprintf("abcd%d.xmp", i%3)}}
		}
		s.Photos = append(s.Photos, p)
		names = append(names, hash, strings.ToUpper(hash[:4+rng.IntN(8)]), hash[:3], p.Path, p.Name, hash[:6]+".jpg", strings.Repeat(hash[:2], 2), "abcd1.xmp")
	}
	s.Photos[3].Name, s.Photos[4].Name = "gr\u00fcn.jpg", "gru\u0308n.jpg"
	f := s.PhotoFinder()
	for _, name := range []string{"gr\u00fcn.jpg", "gru\u0308n.jpg"} {
		if got := s.FindPhoto(name); len(got) != 2 {
			t.Errorf("%+q: %d photos, want both", name, len(got))
		}
	}
	some := 0
	for _, name := range names {
		want, got := s.FindPhoto(name), f.Find(name)
		if len(want) != len(got) || len(want) > 0 && !reflect.DeepEqual(want, got) {
			t.Errorf("%q: %d photos, want %d", name, len(got), len(want))
		}
		if len(want) > 0 {
			some++
		}
	}
	if some < 1000 {
		t.Errorf("only %d names were of a photo", some)
	}
}
