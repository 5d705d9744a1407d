package label

import "urdir/check"

// Tag is what a printed tag says besides its picture and price.
type Tag struct {
	Content Content
	Care    Care
	Country string // where it was made
	Maker   string // the workshop, so that it can be found
	Size    string // words: 170 x 55 cm
	// AnimalParts is true for leather, bone, horn or feather on the piece.
	AnimalParts bool
}

// Check finds what the tag lacks. Problems, as errors where the rule asks for it, as
// cautions otherwise: tag-content, tag-country (asked for by the United States),
// tag-maker (by the United States), tag-care (by the United States, for what is
// worn). Caution: tag-animal-parts, which the European Union wants said in words.
func (t Tag) Check(r Rule) (ps check.Problems) {
	need := func(path, code string) {
		if r == US {
			ps.Wrong(path, code, nil)
		} else {
			ps.Look(path, code, nil)
		}
	}
	if sum := t.Content.sum(); sum != 100 {
		ps.Wrong("content", "tag-content", check.Args{"sum": sum})
	}
	if t.Country == "" {
		need("country", "tag-country")
	}
	if t.Maker == "" {
		need("maker", "tag-maker")
	}
	if len(t.Care.Words()) == 0 {
		need("care", "tag-care")
	}
	if t.AnimalParts && r == EU {
		ps.Look("content", "tag-animal-parts", nil)
	}
	return ps
}

func (c Content) sum() (sum int) {
	for _, s := range c.Shares {
		sum += s.Percent
	}
	return sum
}
