// XMP files beside photos, raw pictures, and what their records say.

package inbox

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rakelight/journal"
)

const sidecarText = `<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:dc="http://purl.org/dc/elements/1.1/">
<xmp:CreateDate>2026-03-14T20:15:00+01:00</xmp:CreateDate><dc:subject><rdf:Bag><rdf:li>pilot-boat</rdf:li></rdf:Bag></dc:subject>
</rdf:Description></rdf:RDF></x:xmpmeta>`

func TestSidecar(t *testing.T) {
	j := bench(t)
	drop(t, j, "a.jpg", shot(t, 1))
	beside := drop(t, j, "a.jpg.xmp", []byte(sidecarText))
	lone := drop(t, j, "b.xmp", []byte(sidecarText))
	sum, err := New(j, Options{}).TakeAll(context.Background(), nil)
	if err != nil || sum.Taken != 1 || len(sum.Left) != 1 || sum.Left[0].Path != "inbox/b.xmp" {
		t.Fatalf("%+v, %v", sum, err)
	}
	p := j.State.Photos[0]
	if p.Instant.Source != "sidecar xmp:CreateDate" || p.Instant.At.UTC().Format("15:04") != "19:15" || p.Tags.Build != "pilot-boat" {
		t.Errorf("%+v, %+v", p.Instant, p.Tags)
	}
	kept, err := os.ReadFile(j.Path(p.Path + ".xmp"))
	if err != nil || string(kept) != sidecarText {
		t.Errorf("the XMP file is not kept beside %s: %v", p.Path, err)
	}
	if _, err := os.Stat(beside); !os.IsNotExist(err) {
		t.Error("its inbox copy stays")
	}
	if _, err := os.Stat(lone); err != nil {
		t.Error("an XMP file without its picture went")
	}
	if got := strings.Join(Story(p, j.State), "\n"); !strings.Contains(got, "sidecar xmp:CreateDate") {
		t.Error(got)
	}
	// The same two once more: both leave in one run.
	drop(t, j, "again.jpg", shot(t, 1))
	drop(t, j, "again.jpg.xmp", []byte(sidecarText))
	if sum := takeAll(t, j); sum.Duplicate != 1 || exists(j.Path("inbox/again.jpg.xmp")) || len(j.Check(true)) != 0 {
		t.Errorf("%+v, %+v", sum, j.Check(true))
	}
}

// TestSidecarOfAnotherPhotoStays: bytes kept already are never replaced.
func TestSidecarOfAnotherPhotoStays(t *testing.T) {
	j := bench(t)
	whole := shot(t, 1)
	drop(t, j, "a.jpg", whole)
	drop(t, j, "a.jpg.xmp", []byte(sidecarText))
	if _, err := New(j, Options{}).TakeAll(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	p := j.State.Photos[0]
	src := filepath.Join(t.TempDir(), "other.xmp")
	if err := os.WriteFile(src, []byte("other"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := j.PlaceBeside(src, p.Path); err == nil {
		t.Error("a kept XMP file was replaced")
	}
	if kept, err := os.ReadFile(j.Path(p.Path + ".xmp")); err != nil || string(kept) != sidecarText {
		t.Errorf("kept %q, %v", kept, err)
	}
}

func TestTravel(t *testing.T) {
	j := bench(t)
	text, err := os.ReadFile(j.Path("journal.toml"))
	if err != nil {
		t.Fatal(err)
	}
	text = append(text, "\n[[zones]]\nfrom = \"2026-03-10\"\nname = \"Asia/Tokyo\"\n"...)
	if err := journal.WriteFile(j.Path("journal.toml"), text); err != nil {
		t.Fatal(err)
	}
	if err := j.Reload(); err != nil {
		t.Fatal(err)
	}
	drop(t, j, "20260314_193205.jpg", shot(t, 1))
	if _, err := New(j, Options{}).TakeAll(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	p := j.State.Photos[0]
	if got := p.Instant.At.UTC().Format("2006-01-02 15:04:05"); got != "2026-03-14 10:32:05" {
		t.Errorf("taken %s UTC, want Tokyo's 19:32:05", got)
	}
	if got := strings.Join(Story(p, j.State), "\n"); !strings.Contains(got, "Asia/Tokyo") {
		t.Error(got)
	}
}
