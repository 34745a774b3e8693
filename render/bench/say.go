// How something said is taken from the page, and what is answered.

package bench

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/entry/wording"
)

const (
	undoFor  = 2 * time.Minute // how long what was said last is offered to be undone
	longest  = 64 << 10        // bytes of a form
	staleFor = 90 * 24 * time.Hour
	pageOpen = 7 * 24 * time.Hour
)

// said are the fields of something said.
type said struct{ url.Values }

func (s said) text(name string) string { return strings.TrimSpace(s.Get(name)) }

// list is a field that may be there several times, in one: "A1,A3".
func (s said) list(name string) string {
	var all []string
	for _, one := range s.Values[name] {
		if one = strings.TrimSpace(one); one != "" {
			all = append(all, one)
		}
	}
	return strings.Join(all, ",")
}

// number is a whole number, 0 where none was given.
func (s said) number(name string) (int, error) {
	text := s.text(name)
	if text == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		return 0, fmt.Errorf("%s: %q is no number", name, text)
	}
	return n, nil
}

// at is when it was said, as the device had it: what waited while the network was
// gone was said then. Zero is now.
func (s said) at(now time.Time) (time.Time, error) {
	text := s.text("at")
	if text == "" {
		return time.Time{}, nil
	}
	at, err := time.Parse(time.RFC3339, text)
	switch {
	case err != nil:
		return time.Time{}, fmt.Errorf("at: %q is no moment", text)
	case at.After(now) || now.Sub(at) < 2*time.Second:
		return time.Time{}, nil // the device's clock runs a little ahead, or it was just now
	case now.Sub(at) > staleFor:
		return time.Time{}, errors.New("this waited for more than three months; say it again with its day")
	}
	return at, nil
}

// answer is what became of something said.
type answer struct {
	Words  string    // "A12 done"
	Hint   string    // what to do about it, of what was refused
	Undo   string    // ids of the records that Undo takes back, parted by spaces; "" = nothing to take back
	At     time.Time `json:"-"`
	Again  bool      `json:",omitempty"` // it had been said before, and was written then
	Remark []string  `json:",omitempty"` // what the person should know
}

// say takes something said. A page without scripts is led back to where it was, a
// script gets the answer as JSON.
func (b *Bench) say(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, longest)
	if err := r.ParseForm(); err != nil {
		http.Error(w, "this could not be read: nothing was written", http.StatusBadRequest)
		return
	}
	one, err := b.take(said{r.PostForm})
	if err != nil {
		b.refuse(w, r, err)
		return
	}
	b.mu.Lock()
	b.last[deviceOf(r)] = one
	b.mu.Unlock()
	if wantsJSON(r) {
		w.Header().Set("Content-Type", "application/json")
		_ = json.NewEncoder(w).Encode(one) // the browser may have left
		return
	}
	http.Redirect(w, r, below(r.PostForm.Get("back")), http.StatusSeeOther)
}

// take has something said written down, once.
func (b *Bench) take(s said) (answer, error) {
	var write func(*journal.Journal, said) (answer, error)
	switch s.text("what") { // what stands in the person's own text, and in no record
	case "careful":
		return b.careful(s)
	case "day":
		write = b.addToDay
	case "supply":
		write = b.setSupply
	case "need":
		write = b.addSupply
	case "task":
		write = b.setTask
	default:
		at, request, err := b.requestOf(s)
		if err != nil {
			return answer{}, err
		}
		write = func(j *journal.Journal, s said) (answer, error) { return b.sayOnce(j, s, at, request) }
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	j, err := b.open(false)
	if err != nil {
		return answer{}, err
	}
	return write(j, s)
}

// requestOf is the request that the fields make, and when it was said.
func (b *Bench) requestOf(s said) (time.Time, entry.Request, error) {
	what := sayings[s.text("what")]
	if what == nil {
		return time.Time{}, nil, fmt.Errorf("%q cannot be said here: nothing was written", s.text("what"))
	}
	at, err := s.at(b.now())
	if err != nil {
		return time.Time{}, nil, unread(err)
	}
	request, err := what(s, at)
	if err != nil {
		return time.Time{}, nil, unread(err)
	}
	return at, request, nil
}

// sayOnce has a request written down, and answers with what came of it.
func (b *Bench) sayOnce(j *journal.Journal, s said, at time.Time, request entry.Request) (answer, error) {
	gone := takenBack(j, s)
	out, err := entry.DoOnce(j, s.text("once"), since(at, b.now()), request)
	if err != nil {
		return answer{}, err
	}
	one := answer{Words: told(s, out) + gone, At: b.now(), Again: out.Again}
	if s.text("what") != "undo" {
		var ids []string // one entry may be several records: an end, and what begins
		for _, r := range out.Records {
			ids = append(ids, r.ID())
		}
		one.Undo = strings.Join(ids, " ")
	}
	for _, remark := range out.Remarks {
		words := wording.Remark(remark)
		one.Remark = append(one.Remark, words.What)
	}
	return one, nil
}

// unread refuses a field that cannot be read: to send it once more would change
// nothing, and what waits behind it would wait forever.
func unread(err error) error { return &journal.AskError{What: err.Error()} }

// takenBack is what is taken back, as it was said; "" = nothing is.
func takenBack(j *journal.Journal, s said) string {
	if s.text("what") != "undo" {
		return ""
	}
	a := &asking{Look: j.Look(), journal: j}
	var all []string
	for _, id := range strings.Fields(s.text("record")) {
		for _, r := range a.Bearers(id) {
			all = append(all, a.wordsOf(journal.Said{Record: r}))
		}
	}
	if len(all) == 0 {
		return ""
	}
	return ": " + strings.Join(all, "; ")
}

// since is from when on it is looked for what bears the same id: when it was said,
// or the longest that a page without scripts is left open.
func since(at, now time.Time) time.Time {
	if at.IsZero() {
		return now.Add(-pageOpen)
	}
	return at
}

// addToDay adds to the words of a day. What stands last there already was sent
// twice.
func (b *Bench) addToDay(j *journal.Journal, s said) (answer, error) {
	for _, d := range j.State.Diary {
		if d.Build == s.text("build") && d.Date == s.text("date") &&
			strings.HasSuffix(strings.TrimSpace(d.Body), s.text("text")) && s.text("text") != "" {
			return answer{Words: "it stands in the words of " + d.Date, At: b.now(), Again: true}, nil
		}
	}
	date := s.text("date")
	_, _, err := entry.AddToDay(j, entry.Day{Text: s.text("text"), Build: s.text("build"), Date: date})
	if err != nil {
		return answer{}, err
	}
	words := "added to the words of " + date
	if l := j.Look(); date == l.Now.In(l.Zone).Format(time.DateOnly) {
		words = "added to today's words"
	}
	return answer{Words: words, At: b.now()}, nil
}

// addSupply writes a thing that a build needs on its list. What stands there already
// was sent twice, or need not be added.
func (b *Bench) addSupply(j *journal.Journal, s said) (answer, error) {
	var refused *entry.Refusal
	name := s.text("name")
	_, err := entry.AddSupply(j, s.text("build"), name)
	switch {
	case errors.As(err, &refused) && refused.Reason == entry.SuppliesAlike:
		return answer{Words: name + " is on the list", At: b.now(), Again: true}, nil
	case err != nil:
		return answer{}, err
	}
	return answer{Words: name + " added to the list", At: b.now()}, nil
}

// setSupply says what became of a supply. To say it twice changes nothing.
func (b *Bench) setSupply(j *journal.Journal, s said) (answer, error) {
	supply := entry.Supply{Build: s.text("build"), Name: s.text("name"), State: s.text("state")}
	_, now, err := entry.SetSupply(j, supply)
	if err != nil {
		return answer{}, err
	}
	return answer{Words: now.Text + ": " + now.State, At: b.now()}, nil
}

// setTask ticks an item of a list, or takes its tick away. To say it twice changes
// nothing.
func (b *Bench) setTask(j *journal.Journal, s said) (answer, error) {
	_, now, err := entry.SetTask(j, entry.Task{Build: s.text("build"), Name: s.text("name"),
		Section: s.text("section"), Done: s.text("done") != ""})
	if err != nil {
		return answer{}, err
	}
	if now.Done {
		return answer{Words: now.Text + ": done", At: b.now()}, nil
	}
	return answer{Words: now.Text + ": to do", At: b.now()}, nil
}

// refuse answers that something was not done, and why.
func (b *Bench) refuse(w http.ResponseWriter, r *http.Request, err error) {
	code := http.StatusInternalServerError
	words, refused := wording.Refused(err)
	if refused {
		code = http.StatusConflict
	} else {
		words = wording.Words{What: err.Error()}
	}
	if wantsJSON(r) {
		w.Header().Set("Content-Type", "application/json")
		w.WriteHeader(code)
		_ = json.NewEncoder(w).Encode(answer{Words: words.What, Hint: words.Hint})
		return
	}
	w.WriteHeader(code)
	b.write(w, r, "refused", words)
}

func wantsJSON(r *http.Request) bool { return r.Header.Get("Accept") == "application/json" }
