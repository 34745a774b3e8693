package pasttest

import (
	"path/filepath"
	"testing"

	"rakelight/media"
)

// What a reading finds in a file is what its shot claims.
func TestFilesSayWhatTheyClaim(t *testing.T) {
	p := Make(Options{Seed: 3, Pictures: 120, Layout: Messy})
	dir := t.TempDir()
	if err := p.Write(dir); err != nil {
		t.Fatal(err)
	}
	small, scans := 0, 0
	for _, s := range p.Shots {
		f, err := media.Read(filepath.Join(dir, filepath.FromSlash(s.Path)))
		if err != nil {
			t.Fatal(err)
		}
		for _, tag := range []string{"DateTimeOriginal", "DateTimeDigitized", "DateTime"} {
			want, offset := s.claim(tag)
			got, gotOffset := Shot{Claims: f.Claims}.claim(tag)
			if got != want || tag == "DateTimeOriginal" && gotOffset != offset {
				t.Errorf("%s: %s %q %q, want %q %q", s.Path, tag, got, gotOffset, want, offset)
			}
		}
		if f.Camera != s.Camera || f.Claims.Scanned != s.Claims.Scanned || !f.Claims.FileTime.Equal(s.FileTime) {
			t.Errorf("%s: %+v, %v, %v", s.Path, f.Camera, f.Claims.Scanned, f.Claims.FileTime)
		}
		if s.Small {
			small++
		}
		if s.Claims.Scanned {
			scans++
		}
	}
	if small == 0 || scans == 0 {
		t.Errorf("%d copies, %d scans", small, scans)
	}
}
