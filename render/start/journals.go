// The pages that make a journal, open one, and show the demo.

package start

import (
	_ "embed"
	"errors"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"

	"rakelight/journal"
	"rakelight/render/guard"
)

// frontPage is what is open, or what can be.
type frontPage struct {
	At  place
	Why string // why nothing is open
}

// openNow is the journal that is open, and whether another may be opened instead.
type openNow struct {
	place
	Here bool
}

// front is the first page: what is open, else what there is to choose.
func (s *Site) front(w http.ResponseWriter, r *http.Request) {
	at, why := s.now()
	if _, device := guard.Device(r); at.Dir != "" {
		write(w, r, "open-now", openNow{at, s.do.Open != nil && !device}, nil)
		return
	}
	write(w, r, "choose", frontPage{Why: why}, nil)
}

// choose is what there is to choose, whatever is open.
func (s *Site) choose(w http.ResponseWriter, r *http.Request) {
	at, _ := s.now()
	write(w, r, "choose", frontPage{At: at}, nil)
}

// newPage makes a journal.
type newPage struct {
	Name, Dir, Zone string
	Zones           []region
}

// region are the zones of one part of the world.
type region struct {
	Name  string
	Zones []string
}

//go:embed zones.txt
var zoneList string

// zones are all zones by the part of the world in their name, the one given among
// them, too.
var zones = sync.OnceValue(func() []region {
	var all []region
	for line := range strings.Lines(zoneList) {
		name := strings.TrimSpace(line)
		if name == "" || strings.HasPrefix(name, "#") {
			continue
		}
		part, _, _ := strings.Cut(name, "/")
		if len(all) == 0 || all[len(all)-1].Name != part {
			all = append(all, region{Name: part})
		}
		last := &all[len(all)-1]
		last.Zones = append(last.Zones, name)
	}
	return all
})

func (s *Site) newJournal(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodPost {
		s.writeNew(w, r, newPage{Name: "My bench", Dir: s.vacant(), Zone: s.do.Zone}, nil)
		return
	}
	page := newPage{Name: field(r, "name"), Dir: field(r, "dir"), Zone: field(r, "zone")}
	dir, err := s.folder(page.Dir)
	if at, _ := s.now(); err == nil && dir == at.Dir { // it was sent twice
		http.Redirect(w, r, Plan, http.StatusSeeOther)
		return
	}
	switch {
	case err != nil:
	case page.Name == "":
		err = &journal.AskError{What: "the journal has no name: nothing was made",
			Hint: "it is what the pages are headed with"}
	case page.Zone == "":
		err = &journal.AskError{What: "no time zone is chosen: nothing was made",
			Hint: "photos that state none are read in it"}
	default:
		err = journal.Create(dir, page.Name, page.Zone, s.do.Now())
	}
	if err == nil {
		err = s.do.Open(dir)
	}
	if err != nil {
		s.writeNew(w, r, page, err)
		return
	}
	http.Redirect(w, r, Plan, http.StatusSeeOther)
}

func (s *Site) writeNew(w http.ResponseWriter, r *http.Request, page newPage, err error) {
	page.Zones = zones()
	listed := func(one region) bool { return slices.Contains(one.Zones, page.Zone) }
	if page.Zone != "" && !slices.ContainsFunc(page.Zones, listed) {
		page.Zones = append([]region{{"This computer", []string{page.Zone}}}, page.Zones...)
	}
	write(w, r, "new", page, err)
}

// vacant is a folder in the person's own that a journal could be made in.
func (s *Site) vacant() string {
	if s.do.Home == "" {
		return ""
	}
	for n := 1; n < 100; n++ {
		dir := filepath.Join(s.do.Home, "Rakelight")
		if n > 1 {
			dir += " " + strconv.Itoa(n)
		}
		if journal.CheckVacant(dir) == nil {
			return dir
		}
	}
	return ""
}

// folder is a folder as a person wrote it: "~" is their own, and a name without a
// path lies there.
func (s *Site) folder(text string) (string, error) {
	if text == "" {
		return "", &journal.AskError{What: "no folder is named", Hint: "write where it lies, from the root on"}
	}
	text = strings.Trim(text, `"`) // as systems copy a path
	rest, own := strings.CutPrefix(text, "~")
	if own && (rest == "" || os.IsPathSeparator(rest[0])) {
		text = filepath.Join(s.do.Home, rest)
	}
	if !filepath.IsAbs(text) {
		text = filepath.Join(s.do.Home, text)
	}
	if !filepath.IsAbs(text) {
		return "", &journal.AskError{What: text + " is no whole path",
			Hint: "write where the folder lies, from the root on"}
	}
	return filepath.Clean(text), nil
}

// openPage opens a journal that is there.
type openPage struct {
	Dir   string
	Found []string
}

func (s *Site) openJournal(w http.ResponseWriter, r *http.Request) {
	page := openPage{Dir: field(r, "dir"), Found: s.found()}
	if r.Method != http.MethodPost {
		write(w, r, "open", page, nil)
		return
	}
	dir, err := s.folder(page.Dir)
	if err == nil {
		dir, err = journal.Find(dir)
	}
	if errors.Is(err, journal.ErrNoJournal) {
		err = &journal.AskError{What: page.Dir + " holds no journal",
			Hint: "a journal is a folder with a journal.toml in it"}
	}
	if err == nil {
		err = s.do.Open(dir)
	}
	if err != nil {
		write(w, r, "open", page, err)
		return
	}
	http.Redirect(w, r, mat, http.StatusSeeOther)
}

// found are the journals where a person is likely to have put one: in their own
// folder, and one step into what lies there.
func (s *Site) found() []string {
	if s.do.Home == "" {
		return nil
	}
	var all []string
	for _, pattern := range []string{"*/journal.toml", "*/*/journal.toml"} {
		files, _ := filepath.Glob(filepath.Join(quoted(s.do.Home), pattern)) // none is an answer
		for _, file := range files {
			if dir := filepath.Dir(file); !strings.HasPrefix(filepath.Base(dir), ".") {
				all = append(all, dir)
			}
		}
	}
	return all
}

// quoted is a path in a pattern that means itself.
func quoted(path string) string {
	if filepath.Separator == '\\' {
		return path // a pattern there has no way to quote
	}
	return strings.NewReplacer(`\`, `\\`, "*", `\*`, "?", `\?`, "[", `\[`).Replace(path)
}

// making is the demo while it is made.
type making struct {
	Runs        bool
	Done, Total int
	What        string
	Err         error
}

// makeDemo begins to make the demo, if that has not begun.
func (s *Site) makeDemo(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	if !s.demo.Runs {
		s.demo = making{Runs: true}
		go s.runDemo()
	}
	s.mu.Unlock()
	http.Redirect(w, r, Root+"demo", http.StatusSeeOther)
}

func (s *Site) runDemo() {
	dir, err := s.do.Demo(func(done, total int, what string) {
		s.mu.Lock()
		s.demo.Done, s.demo.Total, s.demo.What = done, total, what
		s.mu.Unlock()
	})
	if err == nil {
		err = s.do.Open(dir)
	}
	s.mu.Lock()
	s.demo = making{Err: err}
	s.mu.Unlock()
}

// showDemo tells how far the demo is, and leads to it when it is there.
func (s *Site) showDemo(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	demo, at := s.demo, s.at
	s.mu.Unlock()
	switch {
	case demo.Runs:
		w.Header().Set("Refresh", "1") // no script is needed to look again
		write(w, r, "demo", demo, nil)
	case demo.Err != nil:
		write(w, r, "choose", frontPage{At: at}, demo.Err)
	case at.Dir != "":
		http.Redirect(w, r, "/", http.StatusSeeOther)
	default:
		http.Redirect(w, r, Root, http.StatusSeeOther)
	}
}

// field is a field of a form or of the address, without spaces around it.
func field(r *http.Request, name string) string { return strings.TrimSpace(r.FormValue(name)) }
