// The manifest: what each page was made from last time, and what it was then.

package render

import (
	"crypto/sha256"
	"encoding/json"
	"io"
	"maps"
	"os"
	"sync"
	"time"

	"rakelight/journal"
	"rakelight/journal/say"
)

// manifestFile lies in the journal's cache. It is derived and may be deleted:
// without it, or with one of another program, all pages are made and compared.
const manifestFile = ".cache/pages.json"

// manifest is what is known of the pages in the folder.
type manifest struct {
	Program string          `json:"program"` // digest of the program that made them
	Pages   map[string]made `json:"pages"`   // by path
}

// made is a page that was made, and lay in the folder with these looks.
type made struct {
	Of    string    `json:"of"` // digest of what it was made from
	Size  int64     `json:"size"`
	Time  time.Time `json:"time"`
	Asked []string  `json:"asked,omitempty"` // where links and pictures in its texts lead, as written
	// Unsaid is what it says in English for want of words in its language.
	Unsaid []say.Key `json:"unsaid,omitempty"`
}

// programDigest is of the bytes of this program, which hold the templates and the
// styles. "" is no program's: where it cannot be read, nothing is taken for known.
var programDigest = sync.OnceValue(func() string {
	path, err := os.Executable()
	if err != nil {
		return ""
	}
	f, err := os.Open(path)
	if err != nil {
		return ""
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return ""
	}
	return digest(h.Sum(nil)[:len(digest{})]).String()
})

func readManifest(j *journal.Journal, file string) manifest {
	m := manifest{}
	data, err := os.ReadFile(j.Path(file))
	if err != nil || json.Unmarshal(data, &m) != nil || m.Program == "" || m.Program != programDigest() {
		m = manifest{}
	}
	if m.Pages == nil {
		m.Pages = map[string]made{}
	}
	m.Program = programDigest()
	return m
}

// write keeps the manifest, where it says another thing than old.
func (m manifest) write(j *journal.Journal, file string, old manifest) error {
	same := func(a, b made) bool { return a.sameFile(b) && a.Of == b.Of && len(a.Asked) == len(b.Asked) }
	if m.Program == "" || maps.EqualFunc(m.Pages, old.Pages, same) {
		return nil
	}
	data, err := json.Marshal(m)
	if err != nil {
		return err
	}
	return journal.WriteFile(j.Path(file), append(data, '\n'))
}

func (m made) sameFile(other made) bool { return m.Size == other.Size && m.Time.Equal(other.Time) }

// looks are what tells a file that was changed since from one that was not.
func looks(path string) (made, bool) {
	info, err := os.Lstat(path)
	if err != nil || !info.Mode().IsRegular() {
		return made{}, false
	}
	return made{Size: info.Size(), Time: info.ModTime()}, true
}
