// The page that plans a build. What was tapped stands in the address, so that
// nothing has to be remembered, and going back takes the last tap back.

package start

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"rakelight/journal"
	"rakelight/journal/plan"
)

const (
	mostParts   = 400 // of a runner
	mostRunners = 60
)

// draftPage is a build as far as it is planned.
type draftPage struct {
	Journal place
	Title   string
	Name    string // of its folder, "" = made from the title
	Scale   string
	Scales  []string // to tap
	Finish  string
	Order   string // whose stages are proposed
	Orders  []string
	Runners []draftRunner
	Free    string // the letter a further runner would get
	Stages  []draftStage
}

type draftRunner struct {
	Letter  string
	Parts   int
	Class   string
	Classes []string
	Numbers []draftPart
	Spare   int // so many are not for use
}

type draftPart struct {
	Number int
	Spare  bool
}

type draftStage struct {
	ID, Title string
	Chosen    bool
}

var (
	scales  = []string{"1/24", "1/35", "1/48", "1/72", "1/144", "1/350", "1/700"}
	classes = []string{"flat", "curved", "small", "clear", "resin"}
)

func (s *Site) plan(w http.ResponseWriter, r *http.Request) {
	at, _ := s.now()
	if at.Dir == "" {
		http.Redirect(w, r, Root, http.StatusSeeOther)
		return
	}
	if err := r.ParseForm(); err != nil {
		http.Error(w, "this could not be read: nothing was written", http.StatusBadRequest)
		return
	}
	page := draftOf(r.Form)
	page.Journal = at
	if r.Method != http.MethodPost {
		page.tap(r.Form.Get("do"), field(r, "letter"))
		write(w, r, "plan", page.filled(), nil)
		return
	}
	if err := s.writePlan(at.Dir, page); err != nil {
		write(w, r, "plan", page.filled(), err)
		return
	}
	http.Redirect(w, r, mat, http.StatusSeeOther)
}

// writePlan writes build.md, as rakelight build does.
func (s *Site) writePlan(dir string, page draftPage) error {
	if page.Title == "" {
		return &journal.AskError{What: "the build has no title: nothing written", Hint: "it is what the pages call it"}
	}
	j, err := s.do.OpenBench(dir)
	if err != nil {
		return err
	}
	d := page.draft()
	if d.ID == "" {
		return errors.New("no name for the folder can be made from this title: write one in small letters, digits and hyphens")
	}
	_, err = j.WriteDraft(d)
	return err
}

// draftOf reads what was tapped until now. Without an order it is a page that was
// just opened: a painted build with one runner.
func draftOf(f url.Values) draftPage {
	p := draftPage{Title: strings.TrimSpace(f.Get("title")), Name: strings.TrimSpace(f.Get("name")),
		Scale: strings.TrimSpace(f.Get("scale")), Finish: f.Get("finish"), Order: f.Get("order")}
	if p.Order == "" {
		p.propose(plan.Orders[0])
		p.Runners = []draftRunner{{Letter: "A"}}
		return p
	}
	order, known := plan.OrderOf(p.Order)
	if !known {
		order, p.Order = plan.Orders[0], plan.Orders[0].Name
	}
	p.Stages = stagesIn(order, f["stage"])
	for _, letter := range f["runner"] {
		if !isLetter(letter) || len(p.Runners) == mostRunners || p.runner(letter) != nil {
			continue
		}
		r := draftRunner{Letter: letter, Class: f.Get("class-" + letter)}
		n, _ := strconv.Atoi(f.Get("parts-" + letter))
		r.Parts = min(max(0, n), mostParts)
		for i := range r.Parts {
			spare := slices.Contains(f["spare-"+letter], strconv.Itoa(i+1))
			r.Numbers = append(r.Numbers, draftPart{i + 1, spare})
		}
		p.Runners = append(p.Runners, r)
	}
	return p
}

func isLetter(text string) bool {
	if len(text) < 1 || len(text) > 3 {
		return false
	}
	return strings.Trim(text, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == ""
}

// propose takes the stages and the finish of an order.
func (p *draftPage) propose(o plan.Order) {
	p.Order, p.Finish = o.Name, o.Finish
	p.Stages = stagesIn(o, o.Stages)
}

// stagesIn are all kinds of work, those of an order as it has them, and which of
// them are chosen.
func stagesIn(o plan.Order, chosen []string) []draftStage {
	ids := slices.Clone(o.Stages)
	for i, kind := range plan.Kinds {
		if kind == "wait" || slices.Contains(ids, kind) {
			continue // curing passes by itself
		}
		at := 0 // behind the kind that usually stands before it
		for _, before := range slices.Backward(plan.Kinds[:i]) {
			if at = slices.Index(ids, before) + 1; at > 0 {
				break
			}
		}
		ids = slices.Insert(ids, at, kind)
	}
	var all []draftStage
	for _, id := range ids {
		all = append(all, draftStage{id, plan.Title(id), slices.Contains(chosen, id)})
	}
	return all
}

// runner is that of a letter, or nil.
func (p *draftPage) runner(letter string) *draftRunner {
	i := slices.IndexFunc(p.Runners, func(r draftRunner) bool { return r.Letter == letter })
	if i < 0 {
		return nil
	}
	return &p.Runners[i]
}

// tap does what was tapped: "A+10", "A-1", "drop A", "add", "order resin",
// "scale 1/48".
func (p *draftPage) tap(what, letter string) {
	word, of, _ := strings.Cut(what, " ")
	switch word {
	case "":
	case "add":
		if letter = strings.ToUpper(letter); !isLetter(letter) || p.runner(letter) != nil {
			letter = p.free()
		}
		if letter != "" && len(p.Runners) < mostRunners {
			p.Runners = append(p.Runners, draftRunner{Letter: letter})
		}
	case "drop":
		p.Runners = slices.DeleteFunc(p.Runners, func(r draftRunner) bool { return r.Letter == of })
	case "order":
		if o, known := plan.OrderOf(of); known {
			p.propose(o)
		}
	case "scale":
		p.Scale = of
	default:
		i := strings.IndexAny(what, "+-")
		if i < 0 {
			return
		}
		n, err := strconv.Atoi(what[i:])
		if r := p.runner(what[:i]); r != nil && err == nil {
			r.count(r.Parts + n)
		}
	}
}

// count sets how many parts a runner has.
func (r *draftRunner) count(n int) {
	r.Parts = min(max(0, n), mostParts)
	for len(r.Numbers) < r.Parts {
		r.Numbers = append(r.Numbers, draftPart{Number: len(r.Numbers) + 1})
	}
	r.Numbers = r.Numbers[:r.Parts]
}

// free is the first letter no runner has.
func (p *draftPage) free() string {
	for letter := 'A'; letter <= 'Z'; letter++ {
		if p.runner(string(letter)) == nil {
			return string(letter)
		}
	}
	return ""
}

// filled is the page with what there is to tap.
func (p draftPage) filled() draftPage {
	p.Scales, p.Free = scales, p.free()
	for _, o := range plan.Orders {
		p.Orders = append(p.Orders, o.Name)
	}
	for i := range p.Runners {
		r := &p.Runners[i]
		r.Classes = classes
		for _, part := range r.Numbers {
			if part.Spare {
				r.Spare++
			}
		}
	}
	return p
}

// draft is the page as rakelight build takes it.
func (p draftPage) draft() journal.Draft {
	d := journal.Draft{ID: p.Name, Title: p.Title, Scale: p.Scale, Finish: p.Finish}
	if d.ID == "" {
		d.ID = plan.BuildName(p.Title)
	}
	for _, r := range p.Runners {
		text := r.Letter + ":"
		if r.Parts > 0 {
			text += strconv.Itoa(r.Parts)
		}
		if r.Class != "" {
			text += ":" + r.Class
		}
		d.Runners = append(d.Runners, text)
		var spare []string
		for _, part := range r.Numbers {
			if part.Spare {
				spare = append(spare, strconv.Itoa(part.Number))
			}
		}
		if len(spare) > 0 {
			d.NotUsed = append(d.NotUsed, r.Letter+":"+strings.Join(spare, ","))
		}
	}
	for _, st := range p.Stages {
		if st.Chosen {
			d.Stages = append(d.Stages, st.ID)
		}
	}
	return d
}
