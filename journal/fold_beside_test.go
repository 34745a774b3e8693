// Files beside photos: both orders, what was said of either, taken back.

package journal

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rakelight/journal/reason"
)

func TestRawBesideItsPicture(t *testing.T) {
	raw, shown := strings.Repeat("a", 64), strings.Repeat("b", 64)
	photo := map[string]Body{
		raw:   PhotoBody{Hash: raw, Path: "photos/x.cr2", Name: "IMG_1.CR2", Format: "cr2", Tags: Tags{Build: "lorry", Stage: "clean"}, Why: reason.WhysOf(map[string]string{"build": "folder", "stage": "folder"})},
		shown: PhotoBody{Hash: shown, Path: "photos/x.jpg", Name: "IMG_1.JPG", Format: "jpeg"},
	}
	beside := BesideBody{Photo: shown, Hash: raw, Path: "photos/x.cr2", Name: "IMG_1.CR2", Format: "cr2", Size: 3}
	tag := TagBody{Photo: raw, Set: Tags{Role: "after"}}
	for name, order := range map[string][]Body{
		"raw first":              {photo[raw], tag, photo[shown], beside},
		"picture first":          {photo[shown], photo[raw], beside, tag},
		"before what it names":   {beside, tag, photo[shown], photo[raw]},
		"the raw was never one":  {photo[shown], beside, TagBody{Photo: raw, Set: Tags{Build: "lorry", Stage: "clean", Role: "after"}}},
		"twice, on two devices":  {photo[raw], photo[shown], beside, beside, tag},
		"a ring does not matter": {photo[raw], photo[shown], beside, BesideBody{Photo: raw, Hash: shown, Path: "photos/x.jpg"}, tag},
	} {
		j, _ := bench(t)
		j.State = nil
		if _, err := j.AppendAll(order); err != nil {
			t.Fatal(err)
		}
		s := Fold(testPlan, j.records())
		if len(s.Photos) != 1 {
			t.Errorf("%s: %d photos", name, len(s.Photos))
			continue
		}
		p := s.Photos[0]
		if p.Hash != shown || len(p.Beside) != 1 || p.Beside[0].Path != "photos/x.cr2" || p.Tags.Build != "lorry" || p.Tags.Stage != "clean" || p.Tags.Role != "after" {
			t.Errorf("%s: %+v", name, p)
		}
		for _, called := range []string{"aaaa", "IMG_1.CR2", "bbbb", "photos/x.cr2"} {
			if found := s.FindPhoto(called); len(found) != 1 {
				t.Errorf("%s: %d photos called %s", name, len(found), called)
			}
		}
		if _, file, ok := s.Kept(raw); !ok || file.Path != "photos/x.cr2" {
			t.Errorf("%s: the raw file is not known: %+v", name, file)
		}
	}
}

// Taken back, the raw picture is a photo of its own again.
func TestBesideTakenBack(t *testing.T) {
	j, _ := bench(t)
	raw, shown := strings.Repeat("a", 64), strings.Repeat("b", 64)
	written, err := j.AppendAll([]Body{
		PhotoBody{Hash: raw, Path: "photos/x.cr2"},
		PhotoBody{Hash: shown, Path: "photos/x.jpg"},
		BesideBody{Photo: shown, Hash: raw, Path: "photos/x.cr2"},
	})
	if err != nil || len(j.State.Photos) != 1 {
		t.Fatal(len(j.State.Photos), err)
	}
	if _, err := j.Append(RetractBody{Record: written[2].ID()}); err != nil || len(j.State.Photos) != 2 || len(j.State.Photos[0].Beside)+len(j.State.Photos[1].Beside) != 0 {
		t.Errorf("%d photos, %v", len(j.State.Photos), err)
	}
}

// An XMP file's words and date count; two photos may have the same one.
func TestXMPBeside(t *testing.T) {
	j, now := bench(t)
	a, b := strings.Repeat("a", 64), strings.Repeat("b", 64)
	at := Instant{At: *now, Wall: "2026-03-14T19:00:00Z", Source: "sidecar xmp:CreateDate", Offset: "stated"}
	var add []Body
	for _, hash := range []string{a, b} {
		add = append(add, PhotoBody{Hash: hash, Path: "photos/" + hash[:8] + ".jpg", Instant: Instant{At: now.AddDate(1, 0, 0), Source: "file time", Doubts: reason.Doubts{{Is: reason.FileTime}}}, Words: []string{"hull"}},
			BesideBody{Photo: hash, Hash: strings.Repeat("c", 64), Path: "photos/" + hash[:8] + ".jpg.xmp", Format: FormatXMP, Words: []string{"pilot-boat", "hull"}, Instant: &at,
				Tags: Tags{Build: "pilot-boat", Stage: "clean"}, TagsWhys: reason.WhysOf(map[string]string{"build": "keyword", "stage": "keyword"})})
	}
	if _, err := j.AppendAll(add); err != nil {
		t.Fatal(err)
	}
	for _, p := range j.State.Photos {
		if len(p.Beside) != 1 || !p.Instant.At.Equal(*now) || p.Instant.Doubts.Any() || !slices.Equal(p.Words, []string{"hull", "pilot-boat"}) || p.Tags.Stage != "clean" || p.Why["stage"].Name != "keyword" {
			t.Errorf("%+v", p)
		}
	}
	if len(j.State.Problems) != 0 {
		t.Errorf("%v", j.State.Problems)
	}
}

// TestCheckLooksBeside: both files of a shot are verified, and both are named.
func TestCheckLooksBeside(t *testing.T) {
	j, now := bench(t)
	dir := t.TempDir()
	keep := func(name, text string) (hash, file string) {
		file = filepath.Join(dir, name)
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		hash, err := HashFile(file)
		if err != nil {
			t.Fatal(err)
		}
		return hash, file
	}
	shown, file := keep("a.jpg", "picture")
	path, err := j.Place(file, shown, *now, ".jpg")
	if err != nil {
		t.Fatal(err)
	}
	raw, file := keep("a.cr2", "raw picture")
	rawPath, err := j.PlaceAs(file, raw, path, ".cr2")
	if err != nil || strings.TrimSuffix(rawPath, ".cr2") != strings.TrimSuffix(path, ".jpg") {
		t.Fatal(rawPath, err)
	}
	if _, err := j.AppendAll([]Body{
		PhotoBody{Hash: shown, Path: path, Size: 7, Instant: Instant{At: *now}},
		BesideBody{Photo: shown, Hash: raw, Path: rawPath, Format: "cr2", Size: 11},
	}); err != nil {
		t.Fatal(err)
	}
	if found := j.Check(true); len(found) != 0 {
		t.Errorf("%+v", found)
	}
	if err := os.WriteFile(j.Path(rawPath), []byte("raw pictures"), 0o644); err != nil {
		t.Fatal(err)
	}
	if found := j.Check(true); len(found) != 1 || found[0].Kind != ChangedPhoto || found[0].File != rawPath {
		t.Errorf("%+v", found)
	}
	if err := os.Remove(j.Path(rawPath)); err != nil {
		t.Fatal(err)
	}
	if found := j.Check(false); len(found) != 1 || found[0].Kind != MissingPhoto {
		t.Errorf("%+v", found)
	}
}
