// What a person says of old pictures, with the build that is begun for it and goes
// again when it is taken back.

package past

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"rakelight/journal"
	"rakelight/journal/disk"
	"rakelight/journal/entry"
)

// Say writes down what a person says of old pictures, by do (entry.Do, or entry.DoOnce
// with an id). Where draft names a build that is not there, its build.md is written
// first: a build of the years before, whose stages are those of a plan and of which
// nothing is planned any more. It is removed again when nothing was said in the
// end, or when what was said is taken back (TakeBack). A draft of a build that is there
// changes nothing.
func Say(j *journal.Journal, said entry.Past, draft *journal.Draft,
	do func(*journal.Journal, entry.Request) (entry.Outcome, error)) (entry.Outcome, error) {
	written := false
	if draft != nil {
		before := *draft
		before.Before = true
		draft = &before
		text, err := draft.Text()
		if err != nil {
			return entry.Outcome{}, err
		}
		said.Build = draft.ID
		if j.State.Build(draft.ID) == nil {
			if _, err := j.WriteDraft(*draft); err != nil {
				return entry.Outcome{}, err
			}
			written = true
			if err := j.Reload(); err != nil {
				return entry.Outcome{}, errors.Join(err, dropBuild(j, draft.ID, sumOf(text)))
			}
		}
		if there, err := disk.ReadFile(planOf(j, draft.ID)); err == nil && string(there) == string(text) {
			said.Made = sumOf(text) // also by a try that was cut off before it said so
		}
	}
	out, err := do(j, said)
	if err != nil && written {
		return out, errors.Join(err, dropBuild(j, draft.ID, said.Made))
	}
	return out, err
}

// Undone is what was taken back.
type Undone struct {
	Records  []string // ids of what was said
	Pictures int      // of so many
	Build    string   // id of the build that went along, because it was begun for them alone; "" = none
	Open     string   // id of the build that is not said to be finished any more; "" = none
}

// ErrNothing says that nothing was said of old pictures that could be taken back.
var ErrNothing = errors.New("nothing was said of old pictures that is not taken back")

// howFar is how many things said last Undo looks through.
const howFar = 200

// Undo takes back what was said last of old pictures on any device; ErrNothing where
// that is nothing. What was brought in stays, without what was said of it.
func Undo(j *journal.Journal) (Undone, error) {
	latest, err := j.LatestSaid(howFar)
	if err != nil {
		return Undone{}, err
	}
	i := slices.IndexFunc(latest, func(s journal.Said) bool { return isPast(s) && !s.Back })
	if i < 0 {
		return Undone{}, ErrNothing
	}
	n, of := latest[i].InEntry()
	first := latest[i].Seq - n
	var ids []string
	for _, s := range slices.Backward(latest) { // all that one entry wrote
		if isPast(s) && !s.Back && s.Dev == latest[i].Dev && s.Seq > first && s.Seq <= first+of {
			ids = append(ids, s.ID())
		}
	}
	return TakeBack(j, ids)
}

func isPast(s journal.Said) bool {
	var finish journal.FinishBody
	if s.Kind == finish.RecordKind() {
		return json.Unmarshal(s.Body, &finish) == nil && finish.Past
	}
	var b journal.PastBody
	return s.Kind == b.RecordKind()
}

// TakeBack takes back records of what was said of old pictures. A build that was begun
// for them, of which nothing else is said and in which nothing was written, goes along.
func TakeBack(j *journal.Journal, records []string) (Undone, error) {
	out := Undone{Records: records}
	var made []journal.PastBody
	named := map[string]bool{}
	look := j.Look()
	for _, id := range records {
		for _, r := range look.Bearers(id) {
			var finish journal.FinishBody
			if r.Kind == finish.RecordKind() && json.Unmarshal(r.Body, &finish) == nil {
				out.Open = finish.Build
			}
			var b journal.PastBody
			if r.Kind != b.RecordKind() || json.Unmarshal(r.Body, &b) != nil {
				continue
			}
			for _, hash := range b.Photos {
				named[hash] = true
			}
			if b.Made != "" {
				made = append(made, b)
			}
		}
	}
	out.Pictures = len(named)
	if _, err := entry.Do(j, entry.RetractAll{Records: records}); err != nil {
		return Undone{}, err
	}
	for _, b := range made {
		if speaksOf(j.State, b.Set.Build) {
			continue
		}
		if err := dropBuild(j, b.Set.Build, b.Made); err != nil {
			return out, err
		}
		if j.State.Build(b.Set.Build) == nil {
			out.Build = b.Set.Build
		}
	}
	return out, nil
}

// speaksOf reports whether anything is said of a build.
func speaksOf(s *journal.State, build string) bool {
	return len(s.SessionsOf(build)) > 0 ||
		slices.ContainsFunc(s.Past, func(p journal.PastSaid) bool { return p.Tags.Build == build }) ||
		slices.ContainsFunc(s.Photos, func(p *journal.Photo) bool { return p.Tags.Build == build }) ||
		slices.ContainsFunc(s.Notes, func(n journal.Note) bool { return n.Build == build }) ||
		slices.ContainsFunc(s.Pauses, func(p journal.Pause) bool { return p.Build == build }) ||
		slices.ContainsFunc(s.Mistakes, func(m journal.Mistake) bool { return m.Build == build }) ||
		slices.ContainsFunc(s.Trials, func(t *journal.Trial) bool { return t.Build == build }) ||
		slices.ContainsFunc(s.Privates, func(p journal.Private) bool { return p.Build == build }) ||
		inBook(s, build)
}

// inBook reports whether the bench book says anything of a build.
func inBook(s *journal.State, build string) bool {
	return slices.ContainsFunc(s.Checks, func(c journal.Checked) bool { return c.Build == build }) ||
		slices.ContainsFunc(s.Subs, func(one journal.Sub) bool { return one.Build == build }) ||
		slices.ContainsFunc(s.Holds, func(h journal.Hold) bool { return h.Build == build }) ||
		slices.ContainsFunc(s.Preps, func(p journal.Prep) bool { return p.Build == build }) ||
		slices.ContainsFunc(s.Hands, func(h journal.Hands) bool { return h.Build == build }) ||
		slices.ContainsFunc(s.Mixes, func(m journal.Mix) bool { return m.Build == build }) ||
		slices.ContainsFunc(s.Additions, func(a journal.Addition) bool { return a.Build == build }) ||
		slices.ContainsFunc(s.Sandings, func(p journal.SandingPlan) bool { return p.Build == build })
}

// dropBuild removes a build.md that is as it was written, and its folder if nothing
// else lies there.
func dropBuild(j *journal.Journal, build, made string) error {
	plan := planOf(j, build)
	text, err := disk.ReadFile(plan)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case sumOf(text) != made:
		return nil // somebody wrote in it
	}
	if entries, err := os.ReadDir(filepath.Dir(plan)); err != nil || len(entries) != 1 {
		return err
	}
	if err := disk.Remove(plan); err != nil {
		return err
	}
	_ = disk.Remove(filepath.Dir(plan)) // of an empty folder nothing is told
	return j.Reload()
}

func planOf(j *journal.Journal, build string) string { return j.Path("builds/" + build + "/build.md") }

func sumOf(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}
