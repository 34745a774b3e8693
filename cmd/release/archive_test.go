package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// The bytes of an archive depend on what is in it and on the time alone, and what
// is packed comes out again: names, bytes, and what may run.
func TestArchivesAreReproducible(t *testing.T) {
	at := time.Date(2026, 3, 14, 15, 9, 26, 0, time.UTC)
	all := []entry{{name: "rakelight", data: []byte("program"), runs: true}, {name: "completions/rakelight.fish", data: []byte("x")},
		{name: "LICENSE", data: bytes.Repeat([]byte("words "), 1000)}}
	turned := slices.Clone(all)
	slices.Reverse(turned)
	want := "[LICENSE 6000 false completions/rakelight.fish 1 false rakelight 7 true]"
	for name, c := range map[string]struct {
		pack func(io.Writer, string, time.Time, []entry) error
		read func([]byte) []any
	}{"tar": {tarball, untar}, "zip": {zipped, unzip}} {
		var one, other, later bytes.Buffer
		if err := c.pack(&one, "r", at, all); err != nil {
			t.Fatal(err)
		}
		if err := c.pack(&other, "r", at, turned); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(one.Bytes(), other.Bytes()) {
			t.Errorf("%s: another order gives other bytes", name)
		}
		if err := c.pack(&later, "r", at.Add(time.Hour), all); err != nil {
			t.Fatal(err)
		}
		if bytes.Equal(one.Bytes(), later.Bytes()) {
			t.Errorf("%s: the time is not in it", name)
		}
		if got := fmt.Sprint(c.read(one.Bytes())); got != want {
			t.Errorf("%s holds %s, want %s", name, got, want)
		}
	}
}

func untar(data []byte) (out []any) {
	z, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		return []any{err}
	}
	r := tar.NewReader(z)
	for {
		h, err := r.Next()
		if err != nil {
			return out
		}
		body, _ := io.ReadAll(r)
		out = append(out, h.Name[2:], len(body), h.Mode&0o111 != 0)
	}
}

func unzip(data []byte) (out []any) {
	r, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return []any{err}
	}
	for _, f := range r.File {
		body, err := f.Open()
		if err != nil {
			return []any{err}
		}
		all, _ := io.ReadAll(body)
		out = append(out, f.Name[2:], len(all), f.Mode()&0o111 != 0)
	}
	return out
}

// Whatever is built in has its license in the archives: each module that go.mod names
// and the program imports, Go, the fonts, and what NOTICE tells of.
func TestLicensesGoAlong(t *testing.T) {
	t.Chdir(filepath.Join("..", ".."))
	notice, err := os.ReadFile("NOTICE")
	if err != nil {
		t.Fatal(err)
	}
	all, err := licenses(notice)
	if err != nil {
		t.Fatal(err)
	}
	have := map[string]bool{}
	for _, e := range all {
		if have[e.name] || len(e.data) < 20 {
			t.Errorf("%s is there twice, or holds %d bytes", e.name, len(e.data))
		}
		have[e.name] = true
	}
	for _, want := range []string{"go/LICENSE", "media/codec/heif/LICENSE.libheif", "media/codec/avif/LICENSE.aom", "site/fonts/OFL-serif.txt",
		"golang.org/x/text/LICENSE", "github.com/tetratelabs/wazero/LICENSE", "github.com/yuin/goldmark/LICENSE"} {
		if !have["licenses/"+want] {
			t.Errorf("%s is missing", want)
		}
	}
	texts, err := filepath.Glob("media/codec/*/LICENSE.*")
	if err != nil || len(texts) < 6 {
		t.Fatal(texts, err)
	}
	for _, file := range texts {
		if !have["licenses/"+filepath.ToSlash(file)] {
			t.Errorf("%s is named by no line of NOTICE", file)
		}
	}
}
