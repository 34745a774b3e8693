// This file lets several records be one entry: all of them count, or none. They are
// added in one write, and of that a power cut may leave the first lines. So each of
// them tells its place in the entry, and where the last of a device is not the last of
// its entry, those before it are to be taken back.

package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"iter"
	"os"
	"path"
	"path/filepath"
	"slices"
)

// entryMember is the member of a line that tells its place in its entry, as [2,3]. It
// is kept by versions that do not know it, as onceMember is.
const entryMember = "entry"

// members are the members that a record bears besides its own, which is the n-th of
// what is added.
func members(of New, n int) (map[string]json.RawMessage, error) {
	extra := map[string]json.RawMessage{}
	if of.Once != "" {
		text, err := json.Marshal(of.Once)
		if err != nil {
			return nil, err
		}
		extra[onceMember] = text
	}
	if of.Of > 1 {
		text, err := json.Marshal([2]int{n, of.Of})
		if err != nil {
			return nil, err
		}
		extra[entryMember] = text
	}
	if len(extra) == 0 {
		return nil, nil
	}
	return extra, nil
}

// InEntry is the place of a record in its entry and how many that has; 1 of 1 for one
// that stands alone.
func (r Record) InEntry() (n, of int64) {
	var at [2]int64
	text, ok := r.Extra[entryMember]
	if !ok || json.Unmarshal(text, &at) != nil || at[0] < 1 || at[0] > at[1] || at[0] > r.Seq {
		return 1, 1
	}
	return at[0], at[1]
}

// wholeEntries are the records whose entries are there to the end.
func wholeEntries(records []Record) []Record {
	type entry struct {
		dev   string
		first int64
	}
	of := func(r Record) entry {
		n, _ := r.InEntry()
		return entry{r.Dev, r.Seq - n}
	}
	ended := map[entry]bool{}
	for _, r := range records {
		if n, all := r.InEntry(); n == all {
			ended[of(r)] = true
		}
	}
	return slices.DeleteFunc(records, func(r Record) bool { return !ended[of(r)] })
}

// CutOff are the records of an entry of this computer that was cut off: the last that
// it wrote, besides what takes some of them back already. retracts is the id of the
// record that one takes back, "" = it takes none. Nothing is to be written meanwhile.
func (b *Book) CutOff(retracts func(Record) string) (cut []Record) {
	if !b.known() {
		return nil
	}
	own, err := filepath.Glob(filepath.Join(b.path("records"), b.dev, "*.jsonl"))
	if err != nil {
		return nil
	}
	slices.Sort(own)
	back := map[string]bool{}
	var end Record                                                   // the last that takes nothing back
	for _, file := range slices.Backward(own[max(0, len(own)-2):]) { // it may be taken back in the next month
		if !isMonth(path.Join("records", b.dev, filepath.Base(file))) {
			continue
		}
		data, err := os.ReadFile(file)
		if err != nil {
			return nil
		}
		for r := range backward(data) {
			switch id := retracts(r); {
			case end.Seq == 0 && id != "":
				back[id] = true
				continue
			case end.Seq == 0:
				end = r
			}
			n, of := end.InEntry()
			at, all := r.InEntry()
			if n == of || r.Dev != end.Dev || all != of || r.Seq-at != end.Seq-n {
				return cut
			}
			if !back[r.ID()] {
				cut = append(cut, r)
			}
		}
	}
	return cut
}

// backward are the records of a file from its end on. Lines that were cut off, by one
// power cut or several, are passed over; at one that was changed it ends, since who
// damaged it may have damaged more.
func backward(data []byte) iter.Seq[Record] {
	return func(yield func(Record) bool) {
		for len(data) > 0 {
			data = bytes.TrimSuffix(data, []byte("\n"))
			begin := bytes.LastIndexByte(data, '\n') + 1
			r, err := DecodeLine(bytes.TrimSuffix(data[begin:], []byte("\r")))
			if err == nil && !yield(r) || err != nil && !errors.Is(err, ErrTorn) {
				return
			}
			data = data[:begin]
		}
	}
}
