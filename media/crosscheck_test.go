// Our readings of real camera files against those of a reader that shares
// nothing with ours.

package media

import (
	"encoding/csv"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// moduleDir is the folder of a module's sources, or the test is skipped.
func moduleDir(t testing.TB, module string) string {
	t.Helper()
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", module).Output()
	if err != nil {
		t.Skipf("the sample pictures are not here: %v", err)
	}
	return strings.TrimSpace(string(out))
}

// metaOf reads the metadata of a file, whole or cut.
func metaOf(t testing.TB, path string) (facts Facts, ok bool) {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	kind, err := sniff(f, path)
	if err != nil {
		return facts, false
	}
	size, err := sizeOf(f)
	if err != nil {
		t.Fatal(err)
	}
	m := metadata{first: make(map[string]string), xmp: make(map[string]string), iptc: make(map[string]string)}
	if err := m.readAll(f, size, kind); err != nil {
		t.Fatal(err)
	}
	facts = Facts{Kind: kind, Turn: 1}
	m.fill(&facts)
	return facts, true
}

// sameDate compares a claim with what the other reader wrote, whatever stands
// between the digits.
func sameDate(claim, other string) bool {
	a, okA := parseDate(claim)
	b, okB := parseDate(other)
	if !okA || !okB {
		return okA == okB
	}
	return a.wall.Equal(b.wall) && fraction(a.sub) == fraction(b.sub) && (a.offset == b.offset || a.offset == "" || b.offset == "")
}

// elsewhere names the file whose XMP lies in a block of an image editor, where
// we do not look for it.
var elsewhere = map[string]bool{"metadata-extractor/withXmp.jpg": true}

func TestAgreesWithAnotherReader(t *testing.T) {
	dir := filepath.Join(moduleDir(t, "github.com/bep/imagemeta"), "testdata", "images")
	table, err := os.Open("testdata/exif-dates.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer table.Close()
	r := csv.NewReader(table)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if dated := agree(t, dir, rows[1:]); dated < 55 {
		t.Errorf("only %d dated files were compared", dated)
	}
}

// TestAgreesOnAFolder runs the other reader itself, on any folder of pictures:
// RAKELIGHT_SAMPLES=DIR go test ./media -run AgreesOnAFolder -v. The pictures that
// program is tested with are the heads of real files of many more makers.
func TestAgreesOnAFolder(t *testing.T) {
	dir := os.Getenv("RAKELIGHT_SAMPLES")
	if dir == "" {
		t.Skip("RAKELIGHT_SAMPLES names no folder")
	}
	out, err := exec.Command("exiftool", "-r", "-n", "-q", "-T", "-Directory", "-FileName", "-EXIF:DateTimeOriginal", "-EXIF:SubSecTimeOriginal",
		"-EXIF:OffsetTimeOriginal", "-IFD0:Orientation", "-XMP-photoshop:DateCreated", "-IPTC:DateCreated", "-IPTC:TimeCreated", dir).Output()
	if err != nil && len(out) == 0 {
		t.Skipf("exiftool: %v", err)
	}
	var rows [][]string
	for line := range strings.Lines(string(out)) {
		row := strings.Split(strings.TrimRight(line, "\r\n"), "\t")
		for i := range row {
			if row[i] == "-" {
				row[i] = ""
			}
		}
		rel, err := filepath.Rel(dir, filepath.Join(row[0], row[1]))
		if err != nil {
			t.Fatal(err)
		}
		rows = append(rows, append([]string{rel}, row[2:]...))
	}
	agree(t, dir, rows)
}

// agree compares our readings with rows of the other reader's: name, date,
// sub-seconds, offset, orientation, XMP date, IPTC day and time. It returns how
// many files had a date.
func agree(t *testing.T, dir string, rows [][]string) (dated int) {
	t.Helper()
	type count struct{ files, dated, agreed int }
	counts := make(map[string]*count)
	for _, row := range rows {
		name, date, sub, offset, turn, xmp, day, clock := row[0], row[1], row[2], row[3], row[4], row[5], row[6], row[7]
		facts, ok := metaOf(t, filepath.Join(dir, filepath.FromSlash(name)))
		if !ok {
			if date != "" {
				t.Errorf("%s: not recognised, but it has the date %s", name, date)
			}
			continue
		}
		c := counts[facts.Kind]
		if c == nil {
			c = &count{}
			counts[facts.Kind] = c
		}
		c.files++
		got := find(facts.Claims, "DateTimeOriginal")
		if date != "" || xmp != "" || day != "" {
			c.dated++
		}
		bad := ""
		check := func(what, got, want string, same bool) {
			if want != "" && !same {
				bad += what + " " + got + ", not " + want + "; "
			}
		}
		check("date", got.Text, date, sameDate(got.Text, date))
		check("sub-seconds", got.SubSec, sub, fraction(got.SubSec) == fraction(sub))
		check("offset", got.Offset, offset, got.Offset == offset)
		x := find(facts.Claims, "XMP photoshop:DateCreated").Text
		check("XMP", x, xmp, sameDate(x, xmp) || elsewhere[name])
		i := find(facts.Claims, "IPTC DateCreated").Text
		check("IPTC", i, day, sameDate(i, strings.TrimSpace(day+" "+clock)))
		if n := len(turn); n == 1 && turn >= "1" && turn <= "8" && facts.Turn != int(turn[0]-'0') && facts.Kind != "heic" {
			bad += "orientation " + string(rune('0'+facts.Turn)) + ", not " + turn + "; "
		}
		if bad != "" {
			t.Errorf("%s: %s", name, bad)
		} else if date != "" || xmp != "" || day != "" {
			c.agreed++
		}
	}
	for kind, c := range counts {
		t.Logf("%-5s %3d files, %3d with a date, %3d agreed", kind, c.files, c.dated, c.agreed)
		dated += c.dated
	}
	return dated
}
