// This file puts kept files right again from a good copy. The damaged bytes are
// never deleted: they go to inbox/aside/damaged, where the person lets go of
// them by deleting the file.

package journal

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"time"

	"rakelight/journal/disk"
	"rakelight/journal/record"
)

// damagedDir is where damaged bytes are kept until the person lets go of them.
const damagedDir = "inbox/" + AsideDir + "/damaged"

// Repair is a kept file that was damaged or missing and was put right.
type Repair struct {
	RepairBody
	At     time.Time
	Record string
}

// Lost reports whether the file was missing, rather than damaged.
func (r Repair) Lost() bool { return r.Aside == "" }

// String says what was done, without a period.
func (r Repair) String() string {
	if r.Lost() {
		return r.Path + " was missing and has been put back"
	}
	return fmt.Sprintf("%s was damaged and has been repaired; the damaged bytes lie in %s, to be deleted when you no longer want them",
		r.Path, r.Aside)
}

func (f *folding) repair(r Record) error {
	b, err := read[RepairBody](r)
	if err != nil {
		return err
	}
	if b.Hash == "" || b.Path == "" {
		return errors.New("it names no file")
	}
	if err := confinedPhoto(b.Path); err != nil {
		return err
	}
	if b.Aside != "" {
		if err := confined(b.Aside, "inbox/"+AsideDir); err != nil {
			return err
		}
	}
	f.state.Repairs = append(f.state.Repairs, Repair{b, r.At, r.ID()})
	return nil
}

func (s *State) sortRepairs() {
	slices.SortFunc(s.Repairs, func(a, b Repair) int {
		return cmp.Or(a.At.Compare(b.At),
			cmp.Compare(a.Record, b.Record))
	})
}

// RepairsOf are the repairs of a photo's files, the oldest first.
func (s *State) RepairsOf(p *Photo) []Repair {
	return keep(s.Repairs, func(r Repair) bool {
		return r.Hash == p.Hash || slices.ContainsFunc(p.Beside, func(o Original) bool { return o.Hash == r.Hash })
	})
}

// DamagedBytes returns the repair by which a file was found to hold the damaged
// bytes of a kept one, by the file's hash.
func (s *State) DamagedBytes(hash string) (Repair, bool) {
	i := slices.IndexFunc(s.Repairs, func(r Repair) bool { return r.Was == hash && r.Was != r.Hash })
	if hash == "" || i < 0 {
		return Repair{}, false
	}
	return s.Repairs[i], true
}

// Mend looks whether a kept file is there, byte for byte, and if it is not, puts
// it right from src, which holds the bytes it had when it was taken in; then
// the repair is recorded and returned. It returns nil when there was nothing to
// mend. The damaged bytes are aside before the good ones take their place, and a
// run that ended in between is finished by the next, from the same good copy.
func (j *Journal) Mend(src, hash, file, name string) (*Repair, error) {
	body := RepairBody{Hash: hash, Path: file, From: name}
	lies, err := j.Original(file)
	if err != nil {
		return nil, err // a link there leads elsewhere: what it shows is not kept here
	}
	was, err := HashFile(lies)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if _, err := j.placeAt(src, hash, file); err != nil {
			return nil, err
		}
		body.Aside, body.Was = j.orphan(file, hash)
	case err == nil && was == hash:
		if body.Aside, body.Was = j.orphan(file, hash); body.Aside == "" {
			return nil, nil
		}
	case err != nil && !errors.Is(err, syscall.EIO):
		return nil, err // it may well be whole
	default:
		// A file on a bad sector has no hash, and goes aside all the same.
		if body.Aside, err = j.damagedAside(file, was); err != nil {
			return nil, fmt.Errorf("its damaged bytes could not be put aside: %w", err)
		}
		body.Was = was
		if err := j.replace(src, hash, file); err != nil {
			return nil, err
		}
	}
	r, err := j.Append(body)
	if err != nil {
		return nil, err
	}
	return &Repair{body, r.At, r.ID()}, nil
}

// orphan is where a run that ended halfway put the damaged bytes of a file
// without a record, and their hash; "" = nowhere.
func (j *Journal) orphan(file, good string) (aside, was string) {
	aside = damagedPath(file)
	was, err := HashFile(j.Path(aside))
	if errors.Is(err, fs.ErrNotExist) || was == good {
		return "", ""
	}
	if slices.ContainsFunc(j.State.Repairs, func(r Repair) bool { return r.Aside == aside }) {
		return "", ""
	}
	return aside, was
}

// DamagedName is where the damaged bytes of a file of the journal are kept, below the
// journal folder, unless another file has that name already.
func DamagedName(file string) string { return damagedPath(file) }

func damagedPath(file string) string {
	return damagedDir + "/" + strings.TrimPrefix(file, "photos/")
}

// damagedAside gives the bytes of a damaged file a second name below
// inbox/aside/damaged. Where names cannot be added they are moved there.
func (j *Journal) damagedAside(file, was string) (string, error) {
	first := damagedPath(file)
	to, ext := first, path.Ext(first)
	for n := 2; ; n++ {
		here, err := HashFile(j.Path(to))
		if errors.Is(err, fs.ErrNotExist) {
			break
		}
		if err == nil && here == was {
			return to, nil // an earlier run came so far
		}
		to = fmt.Sprintf("%s (%d)%s", strings.TrimSuffix(first, ext), n, ext)
	}
	dir := filepath.Dir(j.Path(to))
	if err := record.MakeDirs(dir); err != nil {
		return "", err
	}
	if err := record.RenameNew(j.Path(file), j.Path(to)); err != nil {
		return "", err
	}
	return to, record.SyncDir(dir)
}

// replace puts the bytes of src in the place of a file, durably: after a crash
// the old or the new bytes are there whole.
func (j *Journal) replace(src, hash, rel string) error {
	to := j.Path(rel)
	dir := filepath.Dir(to)
	if err := record.MakeDirs(dir); err != nil {
		return err
	}
	tmp, err := disk.CreateTemp(dir, ".rakelight-*.tmp")
	if err != nil {
		return err
	}
	defer disk.Remove(tmp.Name()) // gone already when all went well
	got, err := copyInto(tmp, src)
	if err := errors.Join(err, tmp.Sync(), tmp.Close()); err != nil {
		return err
	}
	if got != hash {
		return fmt.Errorf("%s changed while it was read; it was left untouched", src)
	}
	if err := disk.Chmod(tmp.Name(), 0o644); err != nil {
		return err
	}
	if err := record.Rename(tmp.Name(), to); err != nil {
		return err
	}
	return record.SyncDir(dir)
}

// copyInto copies a file and returns the SHA-256 of what was copied.
func copyInto(to io.Writer, src string) (string, error) {
	in, err := disk.Open(src)
	if err != nil {
		return "", err
	}
	defer in.Close()
	sum := sha256.New()
	_, err = io.Copy(io.MultiWriter(to, sum), in)
	return hex.EncodeToString(sum.Sum(nil)), err
}
