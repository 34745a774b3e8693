// Tests of copies and repairs: every byte, every stop, and what is refused.

package backup

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// sample is a small journal with photos, records of a month and words.
func sample(t *testing.T) *journal.Journal {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "bench")
	now := time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)
	if err := journal.Create(dir, "The bench", "UTC", now); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "builds", "pilot-boat", "build.md"), "---\ntitle: Pilot boat\nstages: [clean]\n---\nA boat.\n")
	write(t, filepath.Join(dir, "inbox", "pilot-boat", "waiting.jpg"), "not taken in yet")
	write(t, filepath.Join(dir, "pages", "index.html"), "made again")
	j, err := journal.OpenAt(dir, func() time.Time { now = now.Add(time.Second); return now })
	if err != nil {
		t.Fatal(err)
	}
	for i, text := range []string{"one picture", "another picture", "a third one"} {
		takePhoto(t, j, text, now.Add(time.Duration(i)*time.Minute))
	}
	return j
}

func takePhoto(t *testing.T, j *journal.Journal, text string, at time.Time) string {
	t.Helper()
	src := filepath.Join(t.TempDir(), "a.jpg")
	write(t, src, text)
	sum := sha256.Sum256([]byte(text))
	hash := hex.EncodeToString(sum[:])
	path, err := j.Place(src, hash, at, ".jpg")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := j.Append(journal.PhotoBody{Hash: hash, Path: path, Name: "a.jpg", Size: int64(len(text)), Format: "jpeg",
		Instant: journal.Instant{At: at, Source: "DateTimeOriginal"}, Tags: journal.Tags{Build: "pilot-boat", Stage: "clean"}}); err != nil {
		t.Fatal(err)
	}
	return path
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// tree are the files below a folder, but those of .cache and the list.
func tree(t *testing.T, dir string) map[string]string {
	t.Helper()
	files := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(dir, path)
		if d.IsDir() && d.Name() == ".cache" {
			return fs.SkipDir
		}
		if !d.IsDir() && rel != listFile {
			data, err := os.ReadFile(path)
			files[filepath.ToSlash(rel)] = string(data)
			return err
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func without(files map[string]string, top string) map[string]string {
	for name := range files {
		if strings.HasPrefix(name, top) {
			delete(files, name)
		}
	}
	return files
}

func copyTo(t *testing.T, j *journal.Journal, dest string, verify bool) *Copied {
	t.Helper()
	c, err := Copy(context.Background(), j, dest, Options{Verify: verify})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func equal(t *testing.T, what string, got, want map[string]string) {
	t.Helper()
	for name := range want {
		if got[name] != want[name] {
			t.Errorf("%s: %s is %q, want %q", what, name, got[name], want[name])
		}
	}
	for name := range got {
		if _, ok := want[name]; !ok {
			t.Errorf("%s: %s is more", what, name)
		}
	}
}

func TestCopyAndAgain(t *testing.T) {
	j := sample(t)
	dest := filepath.Join(t.TempDir(), "copy")
	c := copyTo(t, j, dest, false)
	want := without(tree(t, j.Dir), "pages/")
	equal(t, "first", tree(t, dest), want)
	if c.Written != len(want) || c.Files != len(want) || len(c.Left)+len(c.Kept)+len(c.Remarks) > 0 {
		t.Errorf("%+v; want %d", c, len(want))
	}
	if c := copyTo(t, j, dest, false); c.Known != len(want) || c.Written > 0 || c.Compared > 0 {
		t.Errorf("again: %+v", c)
	}
	if c := copyTo(t, j, dest, true); c.Compared != len(want) || c.Written > 0 {
		t.Errorf("verified: %+v", c)
	}
	if last, ok := LastOf(j); !ok || last.To != "copy" || last.Files != len(want) {
		t.Errorf("last %+v, %v", last, ok)
	}
	// What grew is copied, and nothing is kept of what it held; other words are.
	takePhoto(t, j, "a fourth", j.Now())
	write(t, j.Path("builds/pilot-boat/build.md"), "---\ntitle: Pilot boat\nstages: [clean, paint]\n---\n")
	c = copyTo(t, j, dest, false)
	if c.Written != 4 || len(c.Kept) != 1 || !strings.HasSuffix(c.Kept[0], "builds/pilot-boat/build.md") {
		t.Errorf("grown: %+v", c) // photo, records, marks, build.md
	}
	if got := tree(t, dest)[c.Kept[0]]; !strings.Contains(got, "A boat.") {
		t.Errorf("kept %q", got)
	}
	equal(t, "grown", without(tree(t, dest), earlierDir), without(tree(t, j.Dir), "pages/"))
	other, err := journal.OpenAt(dest, j.Now)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range other.Check(true) {
		if f.Error {
			t.Errorf("the copy: %+v", f)
		}
	}
}

// A byte that changes anywhere in the journal is found; the copy keeps the good one, and
// the journal is, byte for byte, put right from it.
func TestEveryByte(t *testing.T) {
	j := sample(t)
	dest := filepath.Join(t.TempDir(), "copy")
	copyTo(t, j, dest, false)
	if err := j.NotePlans(); err != nil {
		t.Fatal(err)
	}
	good, copied := tree(t, j.Dir), tree(t, dest)
	rng := rand.New(rand.NewPCG(2, 12))
	places := map[string]int{}
	for rel, data := range good {
		if top, _, _ := strings.Cut(rel, "/"); !slices.Contains([]string{"photos", "records", "builds", "journal.toml"}, top) {
			continue
		}
		for n := range 32 {
			at := rng.IntN(len(data) + 1)
			var changed []byte
			switch kind := rng.IntN(3); {
			case n == 30: // these two cost no record
				changed = []byte(data[:len(data)-1])
			case n == 31:
				changed = []byte(data + "\n")
			case kind == 0 || at == len(data):
				changed = slices.Insert([]byte(data), at, byte(rng.IntN(256)))
			case kind == 1:
				changed = slices.Delete([]byte(data), at, at+1)
			default:
				changed = []byte(data)
				changed[at] ^= 1 << rng.IntN(8)
			}
			if string(changed) == data {
				continue
			}
			places[strings.SplitN(rel, "/", 2)[0]]++
			write(t, j.Path(rel), string(changed))
			everyByte(t, j, dest, rel, changed)
			for name, data := range good { // a repair appends a record, so each begins anew
				if now, _ := os.ReadFile(j.Path(name)); string(now) != data {
					write(t, j.Path(name), data)
				}
			}
			if err := os.RemoveAll(j.Path("inbox/aside")); err != nil {
				t.Fatal(err)
			}
			if err := j.Reload(); err != nil {
				t.Fatal(err)
			}
		}
	}
	equal(t, "the copy", tree(t, dest), copied)
	if places["photos"] < 60 || places["records"] < 20 || places["builds"] < 20 || places["journal.toml"] < 20 {
		t.Errorf("only %v were tried", places)
	}
}

func everyByte(t *testing.T, j *journal.Journal, dest, rel string, changed []byte) {
	t.Helper()
	if err := j.Reload(); err != nil {
		if rel != "journal.toml" {
			t.Fatalf("%s as %q: %v", rel, changed, err)
		}
		return // every command says what is wrong with it
	}
	found := j.Check(true)
	plans, err := j.ChangedPlans(j.NotedPlans())
	if err != nil {
		t.Fatal(err)
	}
	if !slices.ContainsFunc(slices.Concat(found, plans), func(f journal.Finding) bool { return f.File == rel }) {
		t.Fatalf("%s as %q is not found: %+v", rel, changed, found)
	}
	if strings.HasPrefix(rel, "builds/") || rel == "journal.toml" {
		return
	}
	if _, err := Repair(context.Background(), j, dest, nil); err != nil {
		t.Fatalf("%s as %q: %v", rel, changed, err)
	}
	for _, f := range j.Check(true) {
		if f.Error {
			t.Fatalf("%s as %q, after the repair: %+v", rel, changed, f)
		}
	}
	if strings.HasPrefix(rel, "photos/") {
		there, err := os.ReadFile(filepath.Join(dest, filepath.FromSlash(rel)))
		here, err2 := os.ReadFile(j.Path(rel))
		if err != nil || err2 != nil || !bytes.Equal(here, there) {
			t.Fatalf("%s was repaired to %q, the copy has %q; %v, %v", rel, here, there, err, err2)
		}
		aside, err := os.ReadFile(j.Path(journal.DamagedName(rel)))
		if err != nil || !bytes.Equal(aside, changed) {
			t.Fatalf("%s: kept aside is %q, want %q; %v", rel, aside, changed, err)
		}
	}
}

// A damaged original never gets over a good one, and of one that was never copied the
// damaged bytes are kept apart.
func TestDamageIsNotCopied(t *testing.T) {
	j := sample(t)
	dest := filepath.Join(t.TempDir(), "copy")
	copyTo(t, j, dest, false)
	copied := tree(t, dest)
	old := j.State.Photos[0].Path
	fresh := takePhoto(t, j, "a fourth", j.Now())
	write(t, j.Path(old), "one PICTURE")
	write(t, j.Path(fresh), "A fourth")
	lines := strings.Replace(tree(t, j.Dir)[recordsOf(t, j)], "a.jpg", "b.jpg", 1)
	write(t, j.Path(recordsOf(t, j)), lines)
	c := copyTo(t, j, dest, false)
	now := tree(t, dest)
	if now[old] != copied[old] || now[fresh] != "" || now[damagedDir+"/"+fresh] != "A fourth" || len(c.Left) != 3 {
		t.Errorf("%+v\n%v", c, now)
	}
	if now[recordsOf(t, j)] != copied[recordsOf(t, j)] {
		t.Errorf("records there: %s", now[recordsOf(t, j)])
	}
	if again := copyTo(t, j, dest, false); len(again.Left) != 3 {
		t.Errorf("again: %+v", again)
	}
	equal(t, "again", tree(t, dest), now)
	// Both what is only there and what is only here counts in the copy.
	other, err := journal.OpenAt(dest, j.Now)
	if err != nil {
		t.Fatal(err)
	}
	if len(other.State.Photos) != 4 {
		t.Errorf("the copy has %d photos", len(other.State.Photos))
	}
	// And comes back; the fourth cannot.
	r, err := Repair(context.Background(), j, dest, nil)
	if err != nil || len(r.Photos) != 1 || r.Records != 1 || len(r.Left) != 1 || r.Left[0].File != fresh {
		t.Errorf("%+v, %v", r, err)
	}
}

func recordsOf(t *testing.T, j *journal.Journal) string {
	t.Helper()
	for name := range tree(t, j.Dir) {
		if strings.HasPrefix(name, "records/") {
			return name
		}
	}
	t.Fatal("no records")
	return ""
}

// Damage in the copy is found by a verifying run, kept and put right.
func TestVerifyFindsDamageInTheCopy(t *testing.T) {
	j := sample(t)
	dest := filepath.Join(t.TempDir(), "copy")
	copyTo(t, j, dest, false)
	good := tree(t, dest)
	for _, rel := range []string{j.State.Photos[1].Path, recordsOf(t, j), "builds/pilot-boat/build.md"} {
		path := filepath.Join(dest, filepath.FromSlash(rel))
		info, err := os.Stat(path)
		if err != nil {
			t.Fatal(err)
		}
		data := []byte(good[rel])
		data[len(data)/2] ^= 1
		write(t, path, string(data))
		if err := os.Chtimes(path, info.ModTime(), info.ModTime()); err != nil { // as a disk that ages does it
			t.Fatal(err)
		}
		if c := copyTo(t, j, dest, false); c.Written > 0 {
			t.Errorf("%s: looked at only, and found: %+v", rel, c)
		}
		if c := copyTo(t, j, dest, true); c.Written != 1 || len(c.Kept) != 1 || len(c.Left) > 0 {
			t.Errorf("%s: %+v", rel, c)
		}
		equal(t, rel, without(tree(t, dest), earlierDir), good)
	}
}

// Stopped after any file, the next run goes on, and nothing half bears a name.
func TestCopyGoesOn(t *testing.T) {
	j := sample(t)
	want := without(tree(t, j.Dir), "pages/")
	for n := range len(want) {
		dest := filepath.Join(t.TempDir(), "copy")
		ctx, stop := context.WithCancel(context.Background())
		_, err := Copy(ctx, j, dest, Options{Report: func(done, _ int) {
			if done == n {
				stop()
			}
		}})
		if n+1 < len(want) && !errors.Is(err, context.Canceled) {
			t.Fatalf("stopped at %d: %v", n, err)
		}
		for name, data := range tree(t, dest) {
			if want[name] != data {
				t.Errorf("stopped at %d: %s is %q", n, name, data)
			}
		}
		if c := copyTo(t, j, dest, false); c.Files != len(want) || c.Known < n {
			t.Errorf("went on from %d: %+v", n, c)
		}
		equal(t, "went on", tree(t, dest), want)
		stop()
	}
}

// Nothing of the journal is lost to a copy: folders and records that vanish come back.
func TestRepairBringsBackWhatVanished(t *testing.T) {
	for _, gone := range []string{"records", "photos"} {
		j := sample(t)
		dest := filepath.Join(t.TempDir(), "copy")
		copyTo(t, j, dest, false)
		want := tree(t, j.Dir)
		if err := os.RemoveAll(j.Path(gone)); err != nil {
			t.Fatal(err)
		}
		if err := j.Reload(); err != nil {
			t.Fatal(err)
		}
		if _, err := Repair(context.Background(), j, dest, nil); err != nil {
			t.Fatal(err)
		}
		got := tree(t, j.Dir)
		for name, data := range want {
			if !strings.HasPrefix(got[name], data) && !strings.HasPrefix(name, "marks/") { // repairs are recorded behind
				t.Errorf("%s gone: %s is %q, want %q", gone, name, got[name], data)
			}
		}
		again, err := Repair(context.Background(), j, dest, nil)
		if err != nil || again.Records > 0 || len(again.Photos) > 0 {
			t.Errorf("%s: again %+v, %v", gone, again, err)
		}
	}
}

func TestWhereNoCopyIsMade(t *testing.T) {
	j, other := sample(t), sample(t)
	full := t.TempDir()
	write(t, filepath.Join(full, "a.txt"), "mine")
	othersCopy := filepath.Join(t.TempDir(), "copy")
	if _, err := Copy(context.Background(), other, othersCopy, Options{}); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(full, "a.txt")
	link := filepath.Join(t.TempDir(), "link")
	if err := os.Symlink(j.Dir, link); err != nil {
		t.Skip("no links here: ", err)
	}
	// The photos of the two are the same, their records are not.
	for _, p := range other.State.Photos {
		if err := os.Remove(filepath.Join(othersCopy, filepath.FromSlash(p.Path))); err != nil {
			t.Fatal(err)
		}
	}
	for _, dest := range []string{j.Dir, j.Path("inbox"), j.Path("photos/2026"), j.Path("copy"), link, filepath.Join(link, "copy"),
		filepath.Dir(j.Dir), other.Dir, other.Path("copy"), othersCopy, full, file, filepath.Join(full, "none", "copy")} {
		before := [...]map[string]string{tree(t, j.Dir), tree(t, other.Dir), tree(t, full), tree(t, othersCopy)}
		_, err := Copy(context.Background(), j, dest, Options{})
		var ask *journal.AskError
		if !errors.As(err, &ask) || ask.Hint == "" {
			t.Errorf("%s: %v", dest, err)
		}
		for i, dir := range []string{j.Dir, other.Dir, full, othersCopy} {
			equal(t, dest, tree(t, dir), before[i])
		}
	}
	for _, from := range []string{j.Dir, j.Path("photos"), full, file, filepath.Join(full, "none"), othersCopy} {
		var ask *journal.AskError
		if _, err := Repair(context.Background(), j, from, nil); !errors.As(err, &ask) {
			t.Errorf("from %s: %v", from, err)
		}
	}
}

// The list may be torn or gone: it costs time alone.
func TestListIsNoTruth(t *testing.T) {
	j := sample(t)
	dest := filepath.Join(t.TempDir(), "copy")
	all := copyTo(t, j, dest, false).Files
	list, err := os.ReadFile(filepath.Join(dest, listFile))
	if err != nil {
		t.Fatal(err)
	}
	for _, cut := range []int{0, 1, len(list) / 2, len(list) - 1} {
		write(t, filepath.Join(dest, listFile), string(list[:cut]))
		if c := copyTo(t, j, dest, false); c.Known+c.Compared != all || c.Written > 0 || len(c.Left)+len(c.Kept) > 0 {
			t.Errorf("cut at %d: %+v", cut, c)
		}
	}
	var last entry
	lines := strings.Split(strings.TrimSpace(string(list)), "\n")
	if json.Unmarshal([]byte(lines[len(lines)-1]), &last) != nil || last.Ended.IsZero() || last.Files != all {
		t.Errorf("the list ends with %s", lines[len(lines)-1])
	}
}

// A folder that vanishes ends the copy, and is not made anew: it was a stick.
func TestCopyEndsWithItsFolder(t *testing.T) {
	for _, gone := range []string{"copy", "journal"} {
		j := sample(t)
		dest := filepath.Join(t.TempDir(), "copy")
		dir := map[string]string{"copy": dest, "journal": j.Dir}[gone]
		_, err := Copy(context.Background(), j, dest, Options{Report: func(done, _ int) {
			if done == 2 {
				if err := os.Rename(dir, dir+" away"); err != nil {
					t.Fatal(err)
				}
			}
		}})
		if !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("%s: %v", gone, err)
		}
		if _, err := os.Stat(dir); err == nil {
			t.Errorf("%s was made anew", gone)
		}
		if err := os.Rename(dir+" away", dir); err != nil {
			t.Fatal(err)
		}
		if _, ok := LastOf(j); ok {
			t.Errorf("%s: it is noted as a copy", gone)
		}
		copyTo(t, j, dest, false)
		equal(t, gone, tree(t, dest), without(tree(t, j.Dir), "pages/"))
	}
}

// One process copies to a folder at a time.
func TestCopyStaysAwayFromAnother(t *testing.T) {
	j := sample(t)
	dest := filepath.Join(t.TempDir(), "copy")
	var second error
	_, err := Copy(context.Background(), j, dest, Options{Report: func(done, _ int) {
		if done == 1 {
			_, second = Copy(context.Background(), j, dest, Options{})
		}
	}})
	if err != nil || second == nil {
		t.Errorf("%v, the second %v", err, second)
	}
}

// What a copy that was killed left half written goes with a later one, an hour after.
func TestCopyClearsWhatAKillLeft(t *testing.T) {
	j := sample(t)
	dest := filepath.Join(t.TempDir(), "copy")
	copyTo(t, j, dest, false)
	old, young := filepath.Join(dest, "photos", ".rakelight-1.tmp"), filepath.Join(dest, "photos", ".rakelight-2.tmp")
	for path, ago := range map[string]time.Duration{old: 2 * time.Hour, young: 0} {
		write(t, path, "half a pict")
		if err := os.Chtimes(path, time.Now().Add(-ago), time.Now().Add(-ago)); err != nil {
			t.Fatal(err)
		}
	}
	copyTo(t, j, dest, false)
	if _, err := os.Stat(old); err == nil {
		t.Error("what was left two hours ago lies there still")
	}
	if _, err := os.Stat(young); err != nil {
		t.Errorf("what somebody may be writing now went: %v", err)
	}
}

// On a disk that takes two names for one (macOS composes letters, Windows and macOS
// know no case) the second file is told of, and never takes the place of the first.
// Here two names of one file are such a disk.
func TestNamesTheCopyTakesForOne(t *testing.T) {
	for _, names := range [][2]string{{"Skizze.txt", "skizze.txt"}, {"s\u00e4ge.txt", "sa\u0308ge.txt"}} {
		j := sample(t)
		dest := filepath.Join(t.TempDir(), "copy")
		copyTo(t, j, dest, false)
		for _, name := range names {
			write(t, j.Path("builds/pilot-boat/"+name), "the words of "+name)
			if _, err := os.Stat(j.Path("builds/pilot-boat/" + names[1])); name == names[0] && err == nil {
				t.Skip("the disk of this computer is one itself")
			}
		}
		slices.Sort(names[:]) // as they are copied
		first := filepath.Join(dest, "builds", "pilot-boat", names[0])
		write(t, first, "the words of "+names[0])
		if err := os.Link(first, filepath.Join(filepath.Dir(first), names[1])); err != nil {
			t.Skip(err)
		}
		for range 2 {
			c := copyTo(t, j, dest, false)
			if len(c.Left) != 1 || c.Left[0].File != "builds/pilot-boat/"+names[1] || len(c.Kept) > 0 {
				t.Errorf("%q: left %v, kept %v", names, c.Left, c.Kept)
			}
			if data, err := os.ReadFile(first); string(data) != "the words of "+names[0] {
				t.Errorf("%q: the first holds %q, %v", names, data, err)
			}
		}
	}
}
