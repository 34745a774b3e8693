// Repairs: what is durable when, what is refused, and what check says.

package journal

import (
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal/disk"
	"rakelight/journal/reason"
)

// placedPhoto makes a photo of some bytes and returns its path and a good copy.
func placedPhoto(t *testing.T, j *Journal, now time.Time) (hash, rel, good string) {
	t.Helper()
	good = filepath.Join(t.TempDir(), "good.jpg")
	if err := os.WriteFile(good, []byte("picture"), 0o644); err != nil {
		t.Fatal(err)
	}
	hash, err := HashFile(good)
	if err != nil {
		t.Fatal(err)
	}
	rel, err = j.Place(good, hash, now, ".jpg")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := j.Append(PhotoBody{Hash: hash, Path: rel, Name: "good.jpg", Size: 7, Instant: Instant{At: now}}); err != nil {
		t.Fatal(err)
	}
	return hash, rel, good
}

// A file that is found in its place is made durable before anything is removed
// for its sake: the run that placed it may have been cut short.
func TestFoundAgainIsSynced(t *testing.T) {
	j, now := bench(t)
	hash, rel, good := placedPhoto(t, j, *now)
	d := &syncs{}
	defer disk.Mount(j.Dir, d)()
	if _, err := j.Place(good, hash, *now, ".jpg"); err != nil || !slices.Contains(d.synced, j.Path(rel)) {
		t.Errorf("synced %v, %v", d.synced, err)
	}
	d.fail = fs.ErrInvalid
	if _, err := j.Place(good, hash, *now, ".jpg"); err == nil {
		t.Error("it counts as placed although it is not durable")
	}
}

// syncs is a disk that notes which files are made durable, or fails at it.
type syncs struct {
	disk.System
	synced []string
	fail   error
}

func (d *syncs) OpenFile(path string, flag int, perm fs.FileMode) (disk.File, error) {
	f, err := d.System.OpenFile(path, flag, perm)
	if err != nil {
		return nil, err
	}
	return syncedFile{f, d}, nil
}

type syncedFile struct {
	disk.File
	d *syncs
}

func (f syncedFile) Sync() error {
	if f.d.fail != nil {
		return f.d.fail
	}
	f.d.synced = append(f.d.synced, f.Name())
	return f.File.Sync()
}

// A copy that is not good repairs nothing, and nothing is recorded.
func TestMendRefuses(t *testing.T) {
	j, now := bench(t)
	hash, rel, good := placedPhoto(t, j, *now)
	if err := os.WriteFile(j.Path(rel), []byte("picturf"), 0o644); err != nil {
		t.Fatal(err)
	}
	bad := filepath.Join(t.TempDir(), "bad.jpg")
	if err := os.WriteFile(bad, []byte("pictura"), 0o644); err != nil {
		t.Fatal(err)
	}
	if r, err := j.Mend(bad, hash, rel, "bad.jpg"); err == nil || r != nil {
		t.Errorf("%+v, %v", r, err)
	}
	if data, err := os.ReadFile(j.Path(rel)); err != nil || string(data) != "picturf" || len(j.State.Repairs) != 0 {
		t.Errorf("%q, %v, %+v", data, err, j.State.Repairs)
	}
	r, err := j.Mend(good, hash, rel, "good.jpg")
	if err != nil || r == nil || r.Aside == "" || r.Lost() {
		t.Fatalf("%+v, %v", r, err)
	}
	if data, err := os.ReadFile(j.Path(r.Aside)); err != nil || string(data) != "picturf" {
		t.Errorf("aside lies %q, %v", data, err)
	}
	if was, ok := j.State.DamagedBytes(r.Was); !ok || was.Path != rel {
		t.Errorf("%+v, %v", was, ok)
	}
	entries, err := os.ReadDir(filepath.Dir(j.Path(rel)))
	if err != nil || len(entries) != 1 {
		t.Errorf("%v, %v: something was left", entries, err)
	}
}

// XMP files beside photos are looked at: of those with a record every byte, of
// those taken in before there were any that they are there and XML.
func TestCheckXMP(t *testing.T) {
	j, now := bench(t)
	_, rel, _ := placedPhoto(t, j, *now)
	kept := j.Path(rel + ".xmp")
	if err := os.WriteFile(kept, []byte("<x:xmpmeta>hull</x:xmpmeta>"), 0o644); err != nil {
		t.Fatal(err)
	}
	if found := j.Check(true); len(found) != 0 {
		t.Errorf("%+v", found)
	}
	if err := os.WriteFile(kept, []byte("<x:xmpmeta>hull</x:xmpme\x00a>"), 0o644); err != nil {
		t.Fatal(err)
	}
	if found := j.Check(true); len(found) != 1 || found[0].Kind != ChangedPhoto || found[0].File != rel+".xmp" {
		t.Errorf("%+v", found)
	}
	if err := os.Remove(kept); err != nil {
		t.Fatal(err)
	}
	if found := j.Check(true); len(found) != 0 {
		t.Errorf("a photo that never had one: %+v", found)
	}
	j.State.Photos[0].Why["sidecar"] = reason.Why{By: reason.SidecarKept}
	if found := j.Check(false); len(found) != 1 || found[0].Kind != MissingPhoto {
		t.Errorf("%+v", found)
	}
}

// What a person said of the beginning of a file, of its cards and its date, counts
// for the whole, in any order of the records.
func TestSaidOfAPart(t *testing.T) {
	part, whole := strings.Repeat("a", 64), strings.Repeat("b", 64)
	text, err := Card{Says: BeginCard, Build: BuildKey("lorry"), Stage: StageKey("clean")}.Text()
	if err != nil {
		t.Fatal(err)
	}
	at := Instant{At: time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC), Source: "DateTimeOriginal", Wall: "2026:03:14 19:00:00", Offset: "stated"}
	photo := func(hash string) Body {
		return PhotoBody{Hash: hash, Path: "photos/" + hash[:8] + ".jpg", Instant: at, Cards: []CardSeen{{Text: text}}}
	}
	grew := BesideBody{Photo: whole, Hash: part, Path: "photos/aaaaaaaa.jpg", Format: "jpeg"}
	none := CardBody{Photo: part}
	dated := DatedBody{Photo: part, First: "2019-04-02", Last: "2019-04-02"}
	for name, order := range map[string][]Body{
		"said before it grew":  {photo(part), none, dated, photo(whole), grew},
		"said after":           {photo(part), photo(whole), grew, none, dated},
		"the record came last": {none, dated, grew, photo(whole), photo(part)},
	} {
		j, _ := bench(t)
		if _, err := j.AppendAll(order); err != nil {
			t.Fatal(err)
		}
		s := Fold(testPlan, j.records())
		if len(s.Photos) != 1 || s.Photos[0].Hash != whole || len(s.Sessions) != 0 {
			t.Errorf("%s: %d photos, %d sessions: a card a person called none begins one", name, len(s.Photos), len(s.Sessions))
		}
		if got := s.Photos[0].Instant; got.Source != SaidSo || got.At.Format(time.DateOnly) != "2019-04-02" {
			t.Errorf("%s: dated %+v", name, got)
		}
	}
}
