// A photo straight from the phone's camera: where it belongs, and whether it was
// taken in.

package bench

import (
	"encoding/json"
	"net/http"
	"slices"
	"strings"

	"rakelight/journal"
	"rakelight/journal/wording"
)

// photoPage is where a photo that is taken now belongs.
type photoPage struct {
	Build, Title  string
	Builds        []offer // without a build chosen, or to choose another
	Stages        []stageChoice
	Roles         []choice
	Views, Lights []choice
}

// stageChoice is a stage of a build, and whether it is the one at hand.
type stageChoice struct {
	ID, Name string
	Here     bool
}

// roles are the roles a photo at the bench has, in the order in which they are taken.
var roles = []choice{{"Before", "before"}, {"After", "after"}, {"Progress", "progress"}, {"Problem", "problem"},
	{"Finished", "finished"}}

// photo makes the page that takes a photo.
func photo(a *asking) (any, error) {
	page := photoPage{Roles: roles}
	for _, b := range a.openBuilds() {
		page.Builds = append(page.Builds, offer{Build: b.ID, Title: b.Title})
	}
	if a.value("other") != "" {
		return page, nil
	}
	b, err := a.ResolveBuild(a.inHand(a.value("build")))
	if err != nil {
		return nil, err
	}
	page.Build, page.Title = b.ID, b.Title
	page.Stages = a.stagesOf(b, a.value("stage"))
	for _, one := range journal.Views {
		page.Views = append(page.Views, choice{journal.Capital(one), one})
	}
	for _, one := range journal.Lights {
		page.Lights = append(page.Lights, choice{journal.Capital(one), one})
	}
	return page, nil
}

// stagesOf are the stages of a build. At hand is the one named, else that runs, else
// the one to go on with.
func (a *asking) stagesOf(b *journal.Build, here string) []stageChoice {
	for _, s := range a.Running() {
		if here == "" && s.Build == b.ID {
			here = s.Stage
		}
	}
	if here == "" {
		o, _ := a.goOn(b)
		here = o.Stage
	}
	var all []stageChoice
	for _, st := range b.Stages {
		all = append(all, stageChoice{st.ID, wording.StageName(st), st.ID == here})
	}
	return all
}

// place says where a photo that is sent belongs, as folders of the inbox say it. What
// is no build, stage or word of the journal is refused, so that no photo ends up where
// nobody meant it.
func (b *Bench) place(r *http.Request) ([]string, error) {
	q := r.URL.Query()
	j, err := b.open(false)
	if err != nil {
		return nil, err
	}
	build, err := j.State.ResolveBuild(q.Get("build"))
	if err != nil {
		return nil, err
	}
	folders := []string{build.ID}
	if name := q.Get("stage"); name != "" {
		st, err := j.State.StageCalled(build, name)
		if err != nil {
			return nil, err
		}
		folders = append(folders, st.ID)
	}
	for _, one := range []struct {
		field string
		known []string
	}{{"role", journal.Roles}, {"view", journal.Views}, {"light", journal.Lights}} {
		word := q.Get(one.field)
		if word != "" && !slices.Contains(one.known, word) {
			return nil, &journal.AskError{What: "\"" + word + "\" is no " + one.field,
				Hint: "it is one of " + strings.Join(one.known, ", ")}
		}
		if word != "" {
			folders = append(folders, word)
		}
	}
	return folders, nil
}

// came is what became of a photo that was sent.
type came struct {
	Taken bool   `json:"taken"`           // it is in the journal
	Words string `json:"words,omitempty"` // "Pilot boat, Clean, before"
}

// taken answers whether a photo that was sent is in the journal.
func (b *Bench) taken(w http.ResponseWriter, r *http.Request) {
	j, err := b.open(false)
	if err != nil {
		http.Error(w, "The journal cannot be read: "+err.Error(), http.StatusInternalServerError)
		return
	}
	var answer came
	if hash := r.URL.Query().Get("hash"); len(hash) == 64 {
		for _, p := range j.State.FindPhoto(hash) {
			answer = came{true, placeOf(j.State, p)}
		}
	}
	w.Header().Set("Content-Type", "application/json")
	_ = json.NewEncoder(w).Encode(answer) // the browser may have left
}

// placeOf is where a photo stands, in words.
func placeOf(s *journal.State, p *journal.Photo) string {
	words := []string{"to sort"}
	if b := s.Build(p.Tags.Build); b != nil {
		words = []string{b.Title}
		if st := b.Stage(p.Tags.Stage); st != nil {
			words = append(words, wording.StageName(*st))
		}
	}
	for _, more := range []string{p.Tags.Role, p.Tags.View, p.Tags.Light} {
		if more != "" {
			words = append(words, more)
		}
	}
	return strings.Join(words, ", ")
}
