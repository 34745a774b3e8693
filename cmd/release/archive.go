// Archives whose bytes depend on nothing but what is in them.

package main

import (
	"archive/tar"
	"archive/zip"
	"cmp"
	"compress/gzip"
	"crypto/sha256"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// entry is a file of an archive, below its folder, with slashes.
type entry struct {
	name string
	data []byte
	runs bool   // it is a program
	link string // it leads to this file of the same folder, and holds nothing; only in a tarball
}

func (e entry) mode() int64 {
	if e.runs {
		return 0o755
	}
	return 0o644
}

func inOrder(all []entry) []entry {
	out := slices.Clone(all)
	slices.SortFunc(out, func(a, b entry) int { return cmp.Compare(a.name, b.name) })
	return out
}

// tarball writes a .tar.gz of the entries in one folder.
func tarball(w io.Writer, folder string, at time.Time, all []entry) error {
	z := gzip.NewWriter(w) // its header holds no name and no time
	t := tar.NewWriter(z)
	for _, e := range inOrder(all) {
		head := &tar.Header{Name: folder + "/" + e.name, Mode: e.mode(), Size: int64(len(e.data)), ModTime: at,
			Format: tar.FormatPAX}
		if e.link != "" {
			head.Typeflag, head.Linkname = tar.TypeSymlink, e.link
		}
		if err := t.WriteHeader(head); err != nil {
			return err
		}
		if _, err := t.Write(e.data); err != nil {
			return err
		}
	}
	if err := t.Close(); err != nil {
		return err
	}
	return z.Close()
}

// zipped writes a .zip of the entries in one folder.
func zipped(w io.Writer, folder string, at time.Time, all []entry) error {
	z := zip.NewWriter(w)
	for _, e := range inOrder(all) {
		head := &zip.FileHeader{Name: folder + "/" + e.name, Method: zip.Deflate, Modified: at}
		head.SetMode(os.FileMode(e.mode()))
		f, err := z.CreateHeader(head)
		if err != nil {
			return err
		}
		if _, err := f.Write(e.data); err != nil {
			return err
		}
	}
	return z.Close()
}

// writeSums writes SHA256SUMS as sha256sum does.
func writeSums(dir string, names []string) error {
	var b strings.Builder
	for _, name := range names {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			return err
		}
		fmt.Fprintf(&b, "%x  %s\n", sha256.Sum256(data), name)
	}
	return os.WriteFile(filepath.Join(dir, "SHA256SUMS"), []byte(b.String()), 0o644)
}
