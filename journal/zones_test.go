// Dated zones.

package journal

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func TestZoneAt(t *testing.T) {
	dir := t.TempDir()
	text := "format = 1\nname = \"b\"\nzone = \"Europe/Lisbon\"\n" +
		"[[zones]]\nfrom = \"2025-07-15 18:30\"\nname = \"Europe/Lisbon\"\n" +
		"[[zones]]\nfrom = \"2025-07-01\"\nname = \"Asia/Tokyo\"\n" +
		"[[zones]]\nfrom = \"July\"\nname = \"Asia/Tokyo\"\n" +
		"[[zones]]\nfrom = \"2025-08-01\"\nname = \"Nowhere\"\n"
	if err := os.WriteFile(filepath.Join(dir, "journal.toml"), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	j, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	for wall, want := range map[string]string{
		"2025-06-30 23:59": "Europe/Lisbon", "2025-07-01 00:00": "Asia/Tokyo", "2025-07-15 18:29": "Asia/Tokyo",
		"2025-07-15 18:30": "Europe/Lisbon", "2025-09-01 12:00": "Europe/Lisbon", "1998-04-01 12:00": "Europe/Lisbon",
	} {
		at, err := time.ParseInLocation("2006-01-02 15:04", wall, time.FixedZone("", -5*3600))
		if err != nil {
			t.Fatal(err)
		}
		if got := j.State.ZoneAt(at).String(); got != want {
			t.Errorf("%s: %s, want %s", wall, got, want)
		}
	}
	told := 0
	for _, p := range j.State.Problems {
		if strings.HasPrefix(p.What, "zones: ") && strings.HasSuffix(p.What, "it is not applied") {
			told++
		}
	}
	if told != 2 {
		t.Errorf("problems told: %+v", j.State.Problems)
	}
	if got := (&State{}).ZoneAt(time.Now()); got != time.UTC {
		t.Errorf("a state without zone: %v", got)
	}
}
