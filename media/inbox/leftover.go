// What a run that was killed left behind: copies that were not finished, not
// named, or not recorded yet. A whole picture that is kept nowhere is taken in;
// the rest is a part of something that is still where it came from, or is kept
// under another name, and is cleared.

package inbox

import (
	"bytes"
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"rakelight/journal/disk"
	"rakelight/media"
)

// clearLeft clears what earlier runs left behind, if one of them did not come to
// its end, and returns the pictures to be taken in because they are nowhere else.
// No process places anything meanwhile.
func (in *Inbox) clearLeft(ctx context.Context) ([]Dropped, error) {
	if in.j.IntakeEnded() {
		return nil, nil
	}
	turn, err := in.j.Intake(ctx)
	if err != nil {
		return nil, err
	}
	defer turn.End()
	if !turn.Broken {
		return nil, nil // another process cleared them
	}
	var lost []Dropped
	for _, file := range in.leftover() {
		if err := ctx.Err(); err != nil {
			return lost, err
		}
		to, err := in.rescue(file)
		switch {
		case err != nil: // it stays, and check tells of it
		case to != "":
			lost = append(lost, in.drop(to, ""))
		default:
			_ = disk.Remove(file)
		}
	}
	for _, file := range in.j.Strays() {
		d := in.drop(in.j.Path(file), "")
		d.Shown = file
		if !in.clearStray(d) {
			lost = append(lost, d)
		}
	}
	turn.Broken = false
	return lost, nil
}

// leftover lists the temporary files below photos/ and inbox/.
func (in *Inbox) leftover() []string {
	var list []string
	for _, top := range []string{in.j.Path("photos"), in.j.InboxDir()} {
		_ = filepath.WalkDir(top, func(file string, d fs.DirEntry, err error) error {
			name := ""
			if err == nil && d.Type().IsRegular() {
				name = d.Name()
			}
			if strings.HasPrefix(name, ".rakelight-") && strings.HasSuffix(name, ".tmp") {
				list = append(list, file)
			}
			return nil
		})
	}
	return list
}

// rescue moves a whole picture that is not kept into the inbox and returns its
// new path. It returns "" for what need not be rescued: a part of a picture, or
// one that is kept whole, if need be thanks to this copy.
func (in *Inbox) rescue(file string) (string, error) {
	if hasItsName(file) {
		return "", nil
	}
	facts, err := media.Read(file)
	var broken *media.BrokenError
	var unsupported *media.UnsupportedError
	switch {
	case errors.As(err, &broken) && broken.Cut, errors.As(err, &unsupported):
		return "", nil
	case err != nil:
		return "", err
	}
	if _, damaged := in.j.State.DamagedBytes(facts.Hash); damaged {
		return "", nil // a kept file's, which lie aside
	}
	if p := in.recorded()[facts.Hash]; p != nil {
		_, err := in.j.Mend(file, p.Hash, p.Path, filepath.Base(file))
		return "", err
	}
	if in.isBeginning(file, facts) {
		return "", nil
	}
	to := filepath.Join(in.j.InboxDir(), "found-"+facts.Hash[:16]+media.Extension(facts.Kind))
	if exists(to) {
		return "", fs.ErrExist
	}
	return to, disk.Rename(file, to)
}

// hasItsName reports whether the file lies beside itself under another name: a run
// was killed just after it gave the file its name. Such a file is no copy.
func hasItsName(file string) bool {
	info, err := os.Lstat(file)
	if err != nil {
		return false
	}
	entries, err := os.ReadDir(filepath.Dir(file))
	if err != nil {
		return false
	}
	return slices.ContainsFunc(entries, func(e fs.DirEntry) bool {
		other, err := e.Info()
		return err == nil && e.Name() != info.Name() && os.SameFile(info, other)
	})
}

// isBeginning reports whether a file is the beginning of another, or all of it:
// of a photo kept in the same folder, or of a file that still lies in the inbox
// or is leaving it. It was still being written when it was copied.
func (in *Inbox) isBeginning(file string, f media.Facts) bool {
	var others []string
	for _, p := range in.j.State.Photos {
		if kept := in.j.Path(p.Path); p.Size > f.Size && filepath.Dir(kept) == filepath.Dir(file) {
			others = append(others, kept)
		}
	}
	for _, l := range in.leavers() {
		others = append(others, l.path)
	}
	if inbox, err := in.walk(in.j.InboxDir(), nil); err == nil {
		for _, one := range inbox.files {
			others = append(others, one.path)
		}
	}
	return slices.ContainsFunc(others, func(other string) bool {
		return sameStart(other, file) &&
			beginsWith(other, f.Size, f.Hash)
	})
}

// sameStart compares the first bytes of two files, so that few are read to their end.
func sameStart(a, b string) bool {
	x, err := firstBytes(a)
	if err != nil {
		return false
	}
	y, err := firstBytes(b)
	n := min(len(x), len(y))
	return err == nil && bytes.Equal(x[:n], y[:n])
}

func firstBytes(file string) ([]byte, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, 4096))
}

// clearStray removes a file that was placed and never recorded if the same bytes
// are kept under another name, or as the beginning of a longer file, and reports
// whether it is gone.
func (in *Inbox) clearStray(d Dropped) bool {
	facts, err := media.Read(d.Path)
	if err != nil {
		return false
	}
	p := in.recorded()[facts.Hash]
	if p == nil && in.isBeginning(d.Path, facts) {
		return disk.Remove(d.Path) == nil
	}
	if p == nil || in.j.Path(p.Path) == d.Path {
		return false
	}
	if _, err := in.j.Mend(d.Path, p.Hash, p.Path, d.Shown); err != nil {
		return false
	}
	return disk.Remove(d.Path) == nil
}
