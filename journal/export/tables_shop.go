// This file is the tables of what the work is done with.

package export

import (
	"time"

	"rakelight/journal"
	"rakelight/journal/sanding"
)

// Mix is a row of mixes.
type Mix struct {
	Build   string            `json:"build" doc:"id of the build"`
	Kit     int               `json:"kit,omitempty" doc:"number of the kit; absent = the only one, or not said"`
	Name    string            `json:"name" doc:"as typed"`
	Recipe  []journal.MixPart `json:"recipe,omitempty" doc:"list of {what, parts, thins}: parts by volume; thins = it is the thinner"`
	Coats   int               `json:"coats,omitempty" doc:"laid with it"`
	Batch   string            `json:"batch,omitempty" doc:"as typed"`
	Parts   []journal.PartRef `json:"parts,omitempty" doc:"list of the parts painted with it"`
	Sub     string            `json:"sub,omitempty" doc:"name of the sub-assembly painted with it"`
	Photo   string            `json:"photo,omitempty" doc:"hash of a photo of the swatch"`
	Text    string            `json:"text,omitempty" doc:"as typed"`
	At      time.Time         `json:"at" doc:"when"`
	Record  string            `json:"record" doc:"its record"`
	Instead string            `json:"instead,omitempty" doc:"record in whose place it stands"`
	By      string            `json:"by,omitempty" doc:"record that stands in its place, so that it does not count; absent = it counts"`
}

func mixRow(m journal.Mix) Mix { return Mix(m) }

// Addition is a row of additions.
type Addition struct {
	Build   string            `json:"build" doc:"id of the build"`
	Kit     int               `json:"kit,omitempty" doc:"number of the kit; absent = the only one, or not said"`
	Kind    string            `json:"kind" doc:"addition, reference"`
	Text    string            `json:"text" doc:"as typed"`
	Where   string            `json:"where,omitempty" doc:"on the model, or where the reference is found"`
	Parts   []journal.PartRef `json:"parts,omitempty" doc:"list of the parts it is on"`
	Sub     string            `json:"sub,omitempty" doc:"name of the sub-assembly it is on"`
	Photo   string            `json:"photo,omitempty" doc:"hash of a photo that shows it"`
	At      time.Time         `json:"at" doc:"when"`
	Record  string            `json:"record" doc:"its record"`
	Instead string            `json:"instead,omitempty" doc:"record in whose place it stands"`
	By      string            `json:"by,omitempty" doc:"record that stands in its place, so that it does not count; absent = it counts"`
}

func additionRow(a journal.Addition) Addition {
	return Addition(a)
}

// Sanding is a row of sanding.
type Sanding struct {
	Build   string            `json:"build" doc:"id of the build"`
	Kit     int               `json:"kit,omitempty" doc:"number of the kit; absent = the only one, or not said"`
	Parts   []journal.PartRef `json:"parts,omitempty" doc:"list of the parts it is for"`
	Sub     string            `json:"sub,omitempty" doc:"name of the sub-assembly it is for"`
	Surface string            `json:"surface" doc:"flat, curved, small, clear, resin"`
	Finish  string            `json:"finish" doc:"primed, bare-matte, bare-gloss"`
	Remove  string            `json:"remove" doc:"nub, line, seam, filler, scratches"`
	Steps   []sanding.Step    `json:"steps" doc:"list of {grit, scale, backing, wet, check}, in their order; no grit = a polish"`
	Photo   string            `json:"photo,omitempty" doc:"hash of a photo that shows it"`
	Text    string            `json:"text,omitempty" doc:"as typed"`
	At      time.Time         `json:"at" doc:"when"`
	Record  string            `json:"record" doc:"its record"`
	Instead string            `json:"instead,omitempty" doc:"record in whose place it stands"`
	By      string            `json:"by,omitempty" doc:"record that stands in its place, so that it does not count; absent = it counts"`
}

func sandingRow(p journal.SandingPlan) Sanding {
	return Sanding(p)
}

// Supply is a row of supplies.
type Supply struct {
	Build   string `json:"build" doc:"id of the build"`
	Section string `json:"section,omitempty" doc:"heading of the list"`
	Text    string `json:"text" doc:"as written"`
	State   string `json:"state" doc:"missing, ordered, come, had"`
	Ordered string `json:"ordered,omitempty" doc:"day"`
	Come    string `json:"come,omitempty" doc:"day"`
	Cost    string `json:"cost,omitempty" doc:"as written"`
	Line    int    `json:"line" doc:"line of the text below the front matter, from 1"`
}

// eachSupply tells what each build needs.
func eachSupply(s *journal.State, yield func(Supply) error) error {
	for _, b := range s.Builds {
		for _, one := range s.SuppliesOf(b) {
			row := Supply{b.ID, one.Section, one.Text, one.State, one.Ordered, one.Come, one.Cost, one.Line}
			if err := yield(row); err != nil {
				return err
			}
		}
	}
	return nil
}
