// Photos that come in pieces, from a device whose network drops. What there is of
// one lies in inbox/.coming, which no walk enters, under the SHA-256 it will have.
// Only when all of it is there and the hash is right does it get its name in the
// inbox, by a rename into the folders that say where it belongs, as if it had been
// dropped there. So nothing is taken half, and what broke off goes on where it did,
// also after a restart.

package inbox

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"time"
	"unicode"

	"rakelight/journal"
	"rakelight/journal/disk"
	"rakelight/journal/record"
)

const (
	comingDir = ".coming"
	partEnd   = ".part" // of bytes that came
	doneEnd   = ".done" // of a photo that came whole, for who did not hear of it

	comingKept  = 7 * 24 * time.Hour // since anything of it came
	comingFiles = 500                // at once
	comingBytes = 4 << 30            // of them together
	maxComing   = 300 << 20          // of one; the largest raw files of today are a third of it
	maxFolders  = 5                  // build, stage, role, view, light
	maxComeName = 100                // characters of a name
)

// Coming takes photos that come in pieces. It is safe for concurrent use, of one
// process at a time.
type Coming struct {
	inbox string
	now   func() time.Time

	mu   sync.Mutex
	busy map[string]bool // hashes of which a piece is being written
}

// Arrival is a photo on its way.
type Arrival struct {
	Name    string   // as the device calls it: "IMG_0412.jpg"; what no system lets be a name is left out
	Size    int64    // of all of it, in bytes
	Hash    string   // SHA-256 of all of it, 64 hex digits
	Folders []string // where it belongs, the build first: build, stage, role, view, light; as folders say it
}

// Arrived is how far a photo is.
type Arrived struct {
	Have  int64 // bytes that are there, from the beginning: the next piece begins here
	Whole bool  // it lies in the inbox
}

// Errors of Piece that callers tell apart. Of each nothing is lost but what it says.
var (
	ErrElsewhere = errors.New("the photo goes on at another place")                 // Arrived says where
	ErrBusy      = errors.New("another piece of this photo is being written")       // the same again a moment later
	ErrOtherHash = errors.New("the photo came damaged; it is to be sent once more") // from its beginning
	ErrTooMuch   = errors.New("more photos are on their way than there is room for; they are taken when those have come")
)

// NewComing takes photos into the inbox of a journal, and clears what nobody went on
// with for a week.
func NewComing(inbox string) *Coming {
	c := &Coming{inbox: inbox, now: time.Now, busy: map[string]bool{}}
	c.clear()
	return c
}

// Check is the error of what cannot be a photo on its way; it is for the person.
func (a Arrival) Check() error {
	hash, err := hex.DecodeString(a.Hash)
	switch {
	case err != nil || len(hash) != sha256.Size || strings.ToLower(a.Hash) != a.Hash:
		return fmt.Errorf("%q is not a SHA-256 in small hex digits", a.Hash)
	case a.Size <= 0:
		return fmt.Errorf("%s holds nothing", journal.Shown(a.Name))
	case a.Size > maxComing:
		return fmt.Errorf("%s is larger than %d MB; copy it into the inbox", journal.Shown(a.Name), maxComing>>20)
	case len(a.Folders) > maxFolders:
		return fmt.Errorf("%d folders are more than say where a photo belongs", len(a.Folders))
	}
	for _, name := range a.Folders {
		if !isFolder(name) {
			return fmt.Errorf("%q is not a folder of the inbox", name)
		}
	}
	if name := comeName(a.Name); !looksLikePicture(strings.ToLower(name)) || isXMP(name) {
		return fmt.Errorf("%s does not look like a photo", journal.Shown(a.Name))
	}
	return nil
}

// Piece keeps the bytes of a photo from an offset on, and says how far it is; a piece
// of nothing asks. Bytes that come before an error of data are kept. ErrElsewhere
// when the offset is not where it goes on.
func (c *Coming) Piece(a Arrival, offset int64, data io.Reader) (Arrived, error) {
	if err := a.Check(); err != nil {
		return Arrived{}, err
	}
	if !c.begin(a.Hash) {
		return Arrived{}, ErrBusy
	}
	defer c.end(a.Hash)
	if _, err := os.Stat(c.path(a.Hash + doneEnd)); err == nil {
		return Arrived{a.Size, true}, nil
	}
	have := c.have(a.Hash)
	if have == 0 && !c.room(a.Size) {
		return Arrived{}, ErrTooMuch
	}
	if offset != have {
		return Arrived{Have: have}, ErrElsewhere
	}
	have, err := c.keep(a, have, data)
	if err != nil || have < a.Size {
		return Arrived{Have: have}, err
	}
	if err := c.finish(a); err != nil {
		return Arrived{Have: c.have(a.Hash)}, err
	}
	return Arrived{have, true}, nil
}

func (c *Coming) begin(hash string) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.busy[hash] {
		return false
	}
	c.busy[hash] = true
	return true
}

func (c *Coming) end(hash string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	delete(c.busy, hash)
}

func (c *Coming) path(name string) string { return filepath.Join(c.inbox, comingDir, name) }

// have is how many bytes of a photo are there.
func (c *Coming) have(hash string) int64 {
	info, err := os.Lstat(c.path(hash + partEnd))
	if err != nil || !info.Mode().IsRegular() {
		return 0
	}
	return info.Size()
}

// room reports whether another photo may begin to come. What is old goes first.
func (c *Coming) room(size int64) bool {
	c.clear()
	entries, _ := os.ReadDir(c.path("")) // a folder that is not there yet has room
	files := 0
	for _, e := range entries {
		if info, err := e.Info(); err == nil && strings.HasSuffix(e.Name(), partEnd) {
			files, size = files+1, size+info.Size()
		}
	}
	return files < comingFiles && size <= comingBytes
}

// keep adds bytes to what is there, and says how many are then. More than the photo
// was said to have are not taken.
func (c *Coming) keep(a Arrival, have int64, data io.Reader) (int64, error) {
	if err := record.MakeDirs(c.path("")); err != nil {
		return have, err
	}
	f, err := disk.OpenFile(c.path(a.Hash+partEnd), os.O_WRONLY|os.O_CREATE|os.O_APPEND, 0o644)
	if err != nil {
		return have, err
	}
	n, err := io.Copy(f, io.LimitReader(data, a.Size-have))
	return have + n, errors.Join(err, f.Close())
}

// finish gives a photo that is all there its name in the inbox.
func (c *Coming) finish(a Arrival) error {
	part := c.path(a.Hash + partEnd)
	got, err := syncedHash(part)
	if err != nil {
		return err
	}
	if got != a.Hash {
		return errors.Join(ErrOtherHash, disk.Remove(part))
	}
	dir := filepath.Join(append([]string{c.inbox}, a.Folders...)...)
	if err := record.MakeDirs(dir); err != nil {
		return err
	}
	if err := c.name(part, dir, comeName(a.Name), a.Hash); err != nil {
		return err
	}
	if err := record.SyncDir(dir); err != nil {
		return err
	}
	// From here on the photo is in the inbox; what follows only saves sending it again.
	done, err := disk.OpenFile(c.path(a.Hash+doneEnd), os.O_WRONLY|os.O_CREATE, 0o644)
	if err == nil {
		_ = done.Close()
	}
	_ = disk.Remove(part)
	return nil
}

// name gives a file its name in a folder. Phones call every photo the same, so one
// whose name is taken has its hash in its own.
func (c *Coming) name(part, dir, name, hash string) error {
	err := record.RenameNew(part, filepath.Join(dir, name))
	if !errors.Is(err, fs.ErrExist) {
		return err
	}
	end := filepath.Ext(name)
	other := filepath.Join(dir, strings.TrimSuffix(name, end)+"-"+hash[:16]+end)
	if err = record.RenameNew(part, other); errors.Is(err, fs.ErrExist) {
		return nil // a try before this one came so far
	}
	return err
}

// syncedHash makes a file durable and returns the SHA-256 of what it holds.
func syncedHash(path string) (string, error) {
	f, err := disk.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return "", err
	}
	defer f.Close()
	if err := f.Sync(); err != nil {
		return "", err
	}
	sum := sha256.New()
	if _, err := io.Copy(sum, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}

// clear removes what nobody went on with.
func (c *Coming) clear() {
	entries, err := os.ReadDir(c.path(""))
	if err != nil {
		return
	}
	for _, e := range entries {
		info, err := e.Info()
		if err == nil && info.Mode().IsRegular() && c.now().Sub(info.ModTime()) > comingKept {
			_ = disk.Remove(c.path(e.Name())) // the next photo tries again
		}
	}
}

// isFolder reports whether a name is one folder, here and on other systems, that a
// walk of the inbox enters.
func isFolder(name string) bool {
	return name != "" && comeName(name) == name && passing(name) == "" && !strings.EqualFold(name, journal.AsideDir)
}

// reserved are names that Windows keeps for devices, in any case and with any ending
// (Naming Files, Paths, and Namespaces, from memory).
var reserved = regexp.MustCompile(`(?i)^(con|prn|aux|nul|conin\$|conout\$|(com|lpt)[0-9¹²³]) *(\.|$)`)

// comeName is the name of a file without what no system lets be one, or would hide:
// folders before it, signs without a shape, dots in front, blanks around.
func comeName(text string) string {
	text = strings.ToValidUTF8(text, "_")
	if i := strings.LastIndexAny(text, `/\`); i >= 0 {
		text = text[i+1:]
	}
	text = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || strings.ContainsRune(`<>:"|?*`, r) {
			return '_'
		}
		return r
	}, text)
	text = strings.TrimRight(strings.TrimLeft(text, ".~ "), ". ")
	if runes := []rune(text); len(runes) > maxComeName {
		end := []rune(filepath.Ext(text))
		if len(end) > 10 {
			end = nil
		}
		text = strings.TrimRight(string(runes[:maxComeName-len(end)]), ". ") + string(end)
	}
	if reserved.MatchString(text) {
		return "_" + text
	}
	return text
}
