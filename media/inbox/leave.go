// Leaving the inbox. The copy of a kept file is renamed into inbox/.leaving, into
// a folder whose name tells what it was. Whoever wrote it may still hold it open
// and go on: so it is looked at again after some minutes, or at the next start,
// and only what did not change since goes for good. What went on growing is
// taken in as the whole file, and the photo that was its beginning is kept beside
// it: what was said of that photo counts for the whole.

package inbox

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"time"

	"rakelight/journal"
	"rakelight/journal/disk"
	"rakelight/journal/reason"
	"rakelight/media"
)

// leavingDir lies in the inbox, so that leaving is a rename; no walk enters it.
const leavingDir = ".leaving"

// stamp is what a file was when it left, as its folder's name.
type stamp struct {
	at    time.Time // by our own clock: shares have clocks of their own
	hash  string    // its first 16 digits
	size  int64
	mtime time.Time
}

const stampTime = "20060102T150405.000"

func (s stamp) String() string {
	return fmt.Sprintf("%s-%s-%d-%s", s.at.UTC().Format(stampTime), s.hash[:16], s.size,
		strconv.FormatInt(s.mtime.UnixNano(), 36))
}

func parseStamp(name string) (s stamp, ok bool) {
	part := strings.SplitN(name, "-", 4) // the last may begin with a minus
	if len(part) != 4 || len(part[1]) != 16 {
		return s, false
	}
	at, err1 := time.Parse(stampTime, part[0])
	size, err2 := strconv.ParseInt(part[2], 10, 64)
	nano, err3 := strconv.ParseInt(part[3], 36, 64)
	return stamp{at, part[1], size, time.Unix(0, nano)}, errors.Join(err1, err2, err3) == nil
}

// left has the inbox copy of a kept file leave, and says so where it cannot.
func (in *Inbox) left(r read, o Outcome) Outcome {
	if !r.Inside {
		return o // files elsewhere are the person's and stay
	}
	err := r.replaced()
	if err == nil {
		err = in.leave(r.Path, r.Shown, stamp{in.opts.Now(), r.facts.Hash, r.facts.Size, r.facts.Claims.FileTime})
	}
	if err != nil {
		o.Stuck, o.retry, o.Err = cause(err).Error(), later, err
		stuck := fmt.Sprintf("it is kept, but its inbox copy could not be removed (%s)", o.Stuck)
		if o.Why != "" {
			stuck = o.Why + "; " + stuck
		}
		o.Why = stuck
	}
	return o
}

// replaced is an error when the file is another than the one that was read. One
// that only grew is the same: it leaves, and is looked at again.
func (r read) replaced() error {
	info, err := os.Stat(r.Path)
	if errors.Is(err, fs.ErrNotExist) || err == nil && info.Size() > r.facts.Size {
		return nil
	}
	return r.unchanged()
}

// unchanged is an error when the file differs in any way from the one read.
func (r read) unchanged() error {
	info, err := os.Stat(r.Path) // of a link, what was read through it
	if err != nil {
		return err
	}
	if info.Size() != r.facts.Size || !info.ModTime().Equal(r.facts.Claims.FileTime) {
		return errors.New("it changed meanwhile")
	}
	return nil
}

// leave renames a file of the inbox into the folder of those leaving. A folder
// of another file system lies in the inbox now and then (a card that is mounted
// there): its files cannot be renamed out of it, and go at once. So does a link,
// which holds nothing: what it leads to is not of the inbox, and stays.
func (in *Inbox) leave(file, shown string, s stamp) error {
	info, err := os.Lstat(file)
	if in.opts.Leave < 0 || err == nil && info.Mode()&fs.ModeSymlink != 0 {
		return gone(disk.Remove(file))
	}
	dir := filepath.Join(in.j.InboxDir(), leavingDir, s.String())
	to := filepath.Join(dir, filepath.FromSlash(strings.TrimPrefix(shown, "inbox/")))
	if err := disk.MkdirAll(filepath.Dir(to), 0o755); err != nil {
		return err
	}
	err = disk.Rename(file, to)
	if errors.Is(err, syscall.EXDEV) {
		err = disk.Remove(file)
	}
	prune(filepath.Dir(to), in.j.InboxDir())
	prune(filepath.Dir(file), filepath.Join(in.j.InboxDir(), leavingDir)) // of one that was leaving before
	return gone(err)
}

// gone is no error where the file is gone already.
func gone(err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}

// prune removes a folder and those above it as long as they are empty, up to
// top, which stays. A folder that does not lie below top is not touched.
func prune(dir, top string) {
	for strings.HasPrefix(dir, top+string(filepath.Separator)) && disk.Remove(dir) == nil {
		dir = filepath.Dir(dir)
	}
}

// pruneEmptied removes a folder of the inbox from which files left, and those above
// it, as long as nothing at all lies in them and nothing happened there for as long
// as a file takes to leave: a folder somebody made or used just now stays.
func (in *Inbox) pruneEmptied(rel string, now time.Time) {
	var quiet []string // looked at first, since each one that goes changes the one above
	for ; rel != "." && rel != journal.AsideDir; rel = path.Dir(rel) {
		dir := filepath.Join(in.j.InboxDir(), filepath.FromSlash(rel))
		if info, err := os.Lstat(dir); err != nil || !info.IsDir() || now.Sub(info.ModTime()) < in.opts.Leave {
			break
		}
		quiet = append(quiet, dir)
	}
	for _, dir := range quiet {
		if disk.Remove(dir) != nil { // something lies in it, perhaps hidden
			return
		}
	}
}

// leaver is a file that is leaving, as it is now.
type leaver struct {
	found
	rel   string // where it lay in the inbox, slashes
	stamp stamp
}

// changed reports whether the file is another than the one that left. A time of
// change alone does not make it one: sync programs and old disks round it.
func (l leaver) changed() bool {
	if l.size != l.stamp.size {
		return true
	}
	return !l.mtime.Equal(l.stamp.mtime) && !beginsWith(l.path, l.size, l.stamp.hash)
}

// leavers lists the files that are leaving. Folders nobody named so are left alone.
func (in *Inbox) leavers() []leaver {
	top := filepath.Join(in.j.InboxDir(), leavingDir)
	folders, err := os.ReadDir(top)
	if err != nil {
		return nil // none, or closed to us: then they stay
	}
	var list []leaver
	for _, folder := range folders {
		s, ok := parseStamp(folder.Name())
		if !ok {
			continue
		}
		dir := filepath.Join(top, folder.Name())
		_ = filepath.WalkDir(dir, func(file string, d fs.DirEntry, err error) error {
			if err != nil || !d.Type().IsRegular() {
				return nil
			}
			info, err := d.Info()
			rel, relErr := filepath.Rel(dir, file)
			if err == nil && relErr == nil {
				list = append(list, leaver{found{path: file, size: info.Size(), mtime: info.ModTime()},
					filepath.ToSlash(rel), s})
			}
			return nil
		})
		prune(dir, in.j.InboxDir()) // a crash left it empty
	}
	return list
}

// lookAgain lets go of the files that left long enough ago and are as they were,
// and returns those to be taken in once more: what changed, as far as quiet lets
// it pass, and what is not kept any more. One that no record names (a photo
// taken back) is left where it is.
func (in *Inbox) lookAgain(now time.Time, quiet func(changed []found) []found) []Dropped {
	list := in.leavers()
	if len(list) == 0 {
		quiet(nil)
		return nil
	}
	kept := in.keptFiles()
	var back []Dropped
	var changed []found
	of := map[string]Dropped{}
	for _, l := range list {
		file, known := kept[l.stamp.hash]
		d := Dropped{Path: l.path, Shown: "inbox/" + l.rel, Inside: true, leaving: true, part: file.Hash}
		if dir := path.Dir(l.rel); dir != "." {
			d.Folder = dir
		}
		switch {
		case l.changed():
			changed, of[l.path] = append(changed, l.found), d
		case !known || now.Sub(l.stamp.at).Abs() < in.opts.Leave:
		case !sizeIs(in.j.Path(file.Path), file.Size):
			back = append(back, d)
		default:
			if disk.Remove(l.path) == nil { // else at the next look
				prune(filepath.Dir(l.path), in.j.InboxDir())
				in.pruneEmptied(path.Dir(l.rel), now)
			}
		}
	}
	for _, f := range quiet(changed) {
		back = append(back, of[f.path])
	}
	return back
}

// keptFiles are all kept files by the first 16 digits of their hash.
func (in *Inbox) keptFiles() map[string]journal.Original {
	kept := map[string]journal.Original{}
	for _, p := range in.j.State.Photos {
		kept[p.Hash[:min(16, len(p.Hash))]] = journal.Original{Hash: p.Hash, Path: p.Path, Size: p.Size}
		for _, o := range p.Beside {
			kept[o.Hash[:min(16, len(o.Hash))]] = o
		}
	}
	return kept
}

// Gone lists the files that left the inbox and that no record names, below the
// journal folder: nobody but the person can say what becomes of them.
func (in *Inbox) Gone() []string {
	var list []string
	kept := in.keptFiles()
	for _, l := range in.leavers() {
		if _, known := kept[l.stamp.hash]; !known && !l.changed() {
			list = append(list, "inbox/"+leavingDir+"/"+l.stamp.String()+"/"+l.rel)
		}
	}
	return list
}

// beginningOf is the kept picture that a file was when it left the inbox, or when
// it was met there under its name before, if the file still begins with it; nil
// otherwise. A run that was killed before the file left, and a system that
// renames no open file, leave it in the inbox.
func (k *keeping) beginningOf(f *filed) *journal.Photo {
	var longest *journal.Photo
	consider := func(p *journal.Photo) {
		if p != nil && (longest == nil || p.Size > longest.Size) && f.continues(p) {
			longest = p
		}
	}
	consider(k.kept[f.part])
	if f.Inside {
		for _, p := range k.kept {
			if p.Folder == f.Folder && p.Name == path.Base(f.Shown) {
				consider(p)
			}
		}
	}
	return longest
}

// continues reports whether the file is a kept one and something behind it.
func (f *filed) continues(p *journal.Photo) bool {
	return p.Size < f.facts.Size && beginsWith(f.Path, p.Size, p.Hash)
}

// endLeaving is what becomes of a file that changed after it left and cannot be
// taken in. One that ends halfway may still be growing and stays where it is;
// any other goes back into the inbox.
func (in *Inbox) endLeaving(r read) Outcome {
	o := *r.end
	switch {
	case o.retry != never:
		return o
	case o.cut:
		o.Why = "it went on growing after its beginning was taken in, and ends halfway now; it is looked at again at the next start"
		return o
	}
	ext := path.Ext(r.Shown)
	to := r.Shown
	for n := 2; exists(in.j.Path(to)); n++ {
		to = fmt.Sprintf("%s (%d)%s", strings.TrimSuffix(r.Shown, ext), n, ext)
	}
	err := disk.MkdirAll(filepath.Dir(in.j.Path(to)), 0o755)
	if err == nil {
		err = disk.Rename(r.Path, in.j.Path(to))
	}
	if err != nil {
		o.Why = fmt.Sprintf("it changed after it was taken in, and could not be put back into the inbox (%v); it lies in inbox/%s",
			cause(err), leavingDir)
		return *o.again(err)
	}
	prune(filepath.Dir(r.Path), in.j.InboxDir())
	o.Path, o.Why = to, "it changed after it was taken in; what it was is kept: "+o.Why
	return o
}

func exists(file string) bool {
	_, err := os.Lstat(file)
	return err == nil
}

// beginsWith reports whether the first bytes of a file have a hash, or one that
// begins so.
func beginsWith(file string, size int64, hash string) bool {
	in, err := os.Open(file)
	if err != nil {
		return false
	}
	defer in.Close()
	sum := sha256.New()
	n, err := io.CopyN(sum, in, size)
	return err == nil && n == size && strings.HasPrefix(hex.EncodeToString(sum.Sum(nil)), hash)
}

// grew is what is told of a file that grew.
const grew = "it went on growing after it was taken in; the whole file is kept now, its beginning beside it"

// placeWhole keeps a file whose beginning is a kept picture, in that one's place. A
// raw picture's beginning lies beside a photo perhaps: then so does the whole.
func (k *keeping) placeWhole(f *filed, part *journal.Photo) {
	photo, _, _ := k.in.j.State.Kept(part.Hash)
	alone := photo == nil || photo.Hash == part.Hash
	if !alone && media.IsRaw(part.Format) {
		k.placeWholeRaw(f, part, photo)
		return
	}
	if f.instant.Source == journal.FileTime &&
		part.Instant.Source != journal.SaidSo { // what a person said moves along by itself
		f.instant = part.Instant // an XMP file told it, or the time before it grew
	}
	add, end := k.in.place(f.read, nil)
	if end != nil {
		f.settle(*end)
		return
	}
	body := add[0].(journal.PhotoBody)
	if alone { // else it was the beginning of something else already
		add = append(add, besideBody(body.Hash, part, reason.Beginning))
		delete(k.photos, part.Hash)
	}
	k.new(f, aWhole, body.Path, add)
	k.photos[body.Hash] = photoOf(body)
	f.out.Why = grew
}

func (k *keeping) placeWholeRaw(f *filed, part, photo *journal.Photo) {
	rel, err := k.in.j.Place(f.Path, f.facts.Hash, photo.Instant.At, path.Ext(part.Path))
	if err != nil {
		f.settle(*f.notKept(err))
		return
	}
	whole := &journal.Photo{Hash: f.facts.Hash, Path: rel, Name: part.Name, Format: f.facts.Kind, Size: f.facts.Size}
	k.new(f, aWhole, rel, []journal.Body{besideBody(photo.Hash, whole, reason.Whole)})
	f.out.Why = grew
}
