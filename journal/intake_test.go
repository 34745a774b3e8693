// One intake at a time, one watch a journal, and what each finds.

package journal

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func TestOneIntakeAtATime(t *testing.T) {
	j, _ := bench(t)
	other, err := Open(j.Dir)
	if err != nil {
		t.Fatal(err)
	}
	first, err := j.Intake(context.Background())
	if err != nil || !first.Broken {
		t.Fatalf("%+v, %v: a new journal knows of no intake that ended", first, err)
	}
	ctx, stop := context.WithTimeout(context.Background(), 50*time.Millisecond)
	defer stop()
	if _, err := other.Intake(ctx); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("a second intake began: %v", err)
	}
	if _, err := j.Append(PhotoBody{Hash: strings.Repeat("a", 64), Path: "photos/a.jpg"}); err != nil {
		t.Fatal(err)
	}
	first.Broken = false
	first.End()
	second, err := other.Intake(context.Background())
	if err != nil || second.Broken || len(other.State.Photos) != 1 {
		t.Fatalf("%+v, %v, %d photos: the second does not see what the first recorded", second, err, len(other.State.Photos))
	}
	if j.IntakeEnded() {
		t.Error("an intake that runs counts as ended: a crash now would go unseen")
	}
	second.End()
	if !j.IntakeEnded() {
		t.Error("an intake that ended counts as broken")
	}
}

func TestOneWatch(t *testing.T) {
	j, _ := bench(t)
	end, err := j.Watching()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := j.Watching(); !errors.Is(err, ErrWatched) {
		t.Errorf("a second watch: %v", err)
	}
	end()
	end, err = j.Watching()
	if err != nil {
		t.Fatalf("after the first ended: %v", err)
	}
	end()
}

// Nothing is folded again when nothing changed, and what another process or
// device wrote is seen.
func TestRefresh(t *testing.T) {
	j, _ := bench(t)
	if _, err := j.Append(PhotoBody{Hash: strings.Repeat("a", 64), Path: "photos/a.jpg"}); err != nil {
		t.Fatal(err)
	}
	before := j.State
	if err := j.Refresh(); err != nil || j.State != before {
		t.Errorf("folded again for nothing: %v", err)
	}
	other, err := Open(j.Dir)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := other.Append(PhotoBody{Hash: strings.Repeat("b", 64), Path: "photos/b.jpg"}); err != nil {
		t.Fatal(err)
	}
	if err := j.Refresh(); err != nil || len(j.State.Photos) != 2 {
		t.Errorf("%d photos, %v", len(j.State.Photos), err)
	}
	if err := os.RemoveAll(filepath.Join(j.Dir, "records")); err != nil {
		t.Fatal(err)
	}
	if err := j.Refresh(); err != nil || len(j.State.Photos) != 0 {
		t.Errorf("%d photos of records that went, %v", len(j.State.Photos), err)
	}
}
