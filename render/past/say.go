// How something said is taken from the pages, and what is answered.

package past

import (
	"encoding/json"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/entry/wording"
	old "rakelight/media/past"
	"rakelight/render/guard"
)

const (
	pageOpen = 7 * 24 * time.Hour // the longest that a page without scripts is left open
	listed   = 40                 // things said last that a page shows, most of them folded up
	unfolded = 8                  // those that are not
	lookBack = 200                // records among which they are found
	longest  = 1 << 20            // bytes of something said
)

// answer is what became of something said.
type answer struct {
	Words  string
	Hint   string   `json:",omitempty"` // what to do about it, of what was refused
	Undo   string   `json:",omitempty"` // ids of the records that taking it back takes back, parted by spaces
	Remark []string `json:",omitempty"` // what the person should know
}

// said are the fields of something said.
type said struct{ url.Values }

func (s said) text(name string) string { return strings.TrimSpace(s.Get(name)) }

// what is what is said, and its value: a button has both, as "stage:clean".
func (s said) what() (what, value string) {
	if what, value, ok := strings.Cut(s.text("do"), ":"); ok {
		return what, value
	}
	return s.text("do"), s.text("value")
}

// refusal is something that cannot be said so.
func refusal(what, hint string) error { return &journal.AskError{What: what, Hint: hint} }

// say takes something said. A page without scripts is led back to where it was, a
// script gets the answer as JSON.
func (p *Pages) say(w http.ResponseWriter, r *http.Request) {
	guard.AllowBody(r, longest) // thousands of pictures may be chosen
	if err := r.ParseForm(); err != nil {
		http.Error(w, "this could not be read: nothing was written", http.StatusBadRequest)
		return
	}
	p.saying.Lock()
	defer p.saying.Unlock()
	a, err := p.ask(r)
	if err != nil {
		http.Error(w, "Nothing was written: "+err.Error(), http.StatusInternalServerError)
		return
	}
	s := said{r.PostForm}
	one, err := a.take(s)
	if err != nil {
		a.refuse(w, err)
		return
	}
	if wantsJSON(r) {
		w.Header().Set("Content-Type", "application/json")
		_ = json.NewEncoder(w).Encode(one) // the browser may have left
		return
	}
	http.Redirect(w, r, below(s.text("back")), http.StatusSeeOther)
}

// take has something said written down, once.
func (a *asking) take(s said) (answer, error) {
	what, value := s.what()
	if what == "undo" {
		return a.undo(s.text("record"))
	}
	saying := sayings[what]
	if saying == nil {
		return answer{}, refusal("this cannot be said here: nothing was written", "load the page again")
	}
	t, err := saying(a, s, value)
	if err != nil {
		return answer{}, err
	}
	since := a.Now().Add(-pageOpen)
	var out entry.Outcome
	if first, ok := first(t.requests).(entry.Past); ok && t.draft != nil {
		out, err = old.Say(a.journal, first, t.draft, func(j *journal.Journal, r entry.Request) (entry.Outcome, error) {
			return entry.DoOnce(j, s.text("once"), since, r)
		})
	} else {
		out, err = entry.DoOnce(a.journal, s.text("once"), since, t.requests...)
	}
	if err != nil {
		return answer{}, err
	}
	one := answer{Words: t.words}
	var ids []string
	for _, r := range out.Records {
		ids = append(ids, r.ID())
	}
	one.Undo = strings.Join(ids, " ")
	for _, remark := range out.Remarks {
		one.Remark = append(one.Remark, wording.Remark(remark).What)
	}
	return one, nil
}

func first(all []entry.Request) entry.Request {
	if len(all) == 0 {
		return nil
	}
	return all[0]
}

// undo takes back the records of something said.
func (a *asking) undo(records string) (answer, error) {
	ids := strings.Fields(records)
	if len(ids) == 0 {
		return answer{}, refusal("there is nothing to undo", "")
	}
	var words string
	for _, line := range a.saidLast() {
		if line.Record == records {
			words = line.Words
		}
	}
	undone, err := old.TakeBack(a.journal, ids)
	if err != nil {
		return answer{}, err
	}
	one := answer{Words: joined(": ", "Taken back", words)}
	if undone.Build != "" {
		one.Remark = append(one.Remark, "The build that was begun for it is gone again.")
	}
	return one, nil
}

// saidLine is one thing said last.
type saidLine struct {
	Words, Record string
	Back          bool // it was taken back
}

// What is listed are records of these kinds.
var (
	pastBody  journal.PastBody
	clockBody journal.ClockBody
)

// saidLast are the things said of old pictures last, the latest first.
func (a *asking) saidLast() []saidLine {
	all, err := a.journal.LatestSaid(lookBack)
	if err != nil {
		return nil // the records are damaged: check tells of that
	}
	var lines []saidLine
	all = slices.DeleteFunc(all, func(r journal.Said) bool {
		return r.Kind != pastBody.RecordKind() && r.Kind != clockBody.RecordKind() && !a.tells(r)
	})
	for i := 0; i < len(all) && len(lines) < listed; {
		n, of := all[i].InEntry()
		begin, end := all[i].Seq-n+1, all[i].Seq-n+of
		var some []journal.Said
		for i < len(all) && (len(some) == 0 || all[i].Dev == some[0].Dev && all[i].Seq >= begin && all[i].Seq <= end) {
			some = append(some, all[i])
			i++
		}
		var ids []string
		for _, r := range slices.Backward(some) {
			ids = append(ids, r.ID())
		}
		lines = append(lines, saidLine{a.wordsOf(some), strings.Join(ids, " "), some[0].Back})
	}
	return lines
}

func (l *look) tells(r journal.Said) bool {
	build, _ := l.toldOf(r)
	return build != ""
}

// wordsOf is one thing said, in words.
func (a *asking) wordsOf(some []journal.Said) string {
	if build, words := a.toldOf(some[0]); build != "" {
		return titleOf(a.state, build) + ": " + words
	}
	if some[0].Kind != pastBody.RecordKind() {
		return "A camera’s clock corrected"
	}
	var all []journal.PastBody
	var of []string
	for _, r := range some {
		var b journal.PastBody
		if json.Unmarshal(r.Body, &b) == nil {
			all = append(all, b)
			of = append(of, b.Photos...)
		}
	}
	if len(all) == 0 {
		return "Something of a later version"
	}
	return journal.Capital(joined(": ", a.bodyWords(all), count(len(of), "picture")+a.which(of)))
}

// which says by what pictures are known: one by its name and day, several by their
// days.
func (a *asking) which(hashes []string) string {
	var first, last *old.Picture
	for _, hash := range hashes {
		p := a.survey.Picture(hash)
		if p == nil {
			continue // of a folder that is shown no more
		}
		if first == nil || p.At.Before(first.At) {
			first = p
		}
		if last == nil || p.At.After(last.At) {
			last = p
		}
	}
	const day = "Jan 2, 2006"
	switch {
	case first == nil:
		return ""
	case len(hashes) == 1:
		return ", " + first.Name + ", " + first.At.Format(day)
	case first.At.Format(day) == last.At.Format(day):
		return ", " + first.At.Format(day)
	}
	return ", " + first.At.Format(day) + " to " + last.At.Format(day)
}

// bodyWords is what bodies of one entry say.
func (a *asking) bodyWords(all []journal.PastBody) string {
	b := all[0]
	if roles := rolesOf(all); len(roles) > 1 {
		return strings.Join(roles, " and ")
	}
	switch {
	case b.Out != nil && *b.Out:
		return "left out"
	case b.Out != nil:
		return "of the bench after all"
	case b.First != "" && b.Said != "":
		return b.Said
	case b.First != "":
		return b.First
	}
	words := b.Set.Stage
	for _, build := range a.state.Builds {
		if st := build.Stage(b.Set.Stage); words == b.Set.Stage && st != nil {
			words = stageName(*st)
		}
	}
	if build := a.state.Build(b.Set.Build); build != nil {
		words = joined(", ", build.Title, words)
	}
	words = joined(", ", words, b.Set.Role)
	if words == "" && len(b.Clear) > 0 {
		words = "no " + strings.Join(b.Clear, ", ") + " any more"
	}
	return words
}

func rolesOf(all []journal.PastBody) []string {
	var roles []string
	for _, b := range all {
		if b.Set.Role != "" && !slices.Contains(roles, b.Set.Role) {
			roles = append(roles, b.Set.Role)
		}
	}
	return roles
}

// refuse answers that something was not done, and why.
func (a *asking) refuse(w http.ResponseWriter, err error) {
	fault, code := faultOf(err)
	if wantsJSON(a.request) {
		w.Header().Set("Content-Type", "application/json")
		w.WriteHeader(code)
		_ = json.NewEncoder(w).Encode(fault)
		return
	}
	back, parsed := url.Parse(below(a.request.PostForm.Get("back")))
	if parsed == nil && back.Path == Root+"sheet" {
		a.request.URL.RawQuery = back.RawQuery
		a.write(w, "sheet", sheet(a), &fault, code)
		return
	}
	a.write(w, "years", overview(a), &fault, code)
}

func faultOf(err error) (answer, int) {
	if words, refused := wording.Refused(err); refused {
		return answer{Words: words.What, Hint: words.Hint}, http.StatusConflict
	}
	var ask *journal.AskError
	if errors.As(err, &ask) {
		return answer{Words: ask.What, Hint: ask.Hint}, http.StatusConflict
	}
	return answer{Words: err.Error()}, http.StatusInternalServerError
}

func wantsJSON(r *http.Request) bool { return r.Header.Get("Accept") == "application/json" }
