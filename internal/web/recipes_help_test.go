package web

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"math/rand/v2"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"

	"urdir/check"
	"urdir/colour"
	"urdir/internal/workshop"
	"urdir/measure"
)

// ownRecipe is a recipe that came with the program and of which the workshop has
// its own version.
const ownRecipe = "madder-wool"

// samples makes the workshop's version of a recipe, and samples of it.
func (s *season) samples(h *workshop.House, head workshop.Person) {
	r := must(h.Recipe(ctx, head, ownRecipe))
	must(h.SaveRecipe(ctx, head, ownRecipe, 0, r.Text+"# as we do it\n"))
	s.ours["sample"] = bareSample(h, head)
	for amount, c := range map[measure.Ratio]colour.Lab{0.1: {L: 62, A: 24, B: 20}, 0.25: {L: 50, A: 32, B: 26}, 0.5: {L: 41, A: 36, B: 28}} {
		must(h.SaveSample(ctx, head, workshop.Kept[workshop.Sample]{Value: workshop.Sample{Recipe: ownRecipe, Strength: amount, Colour: c, How: "typed"}}))
	}
}

// bareSample is the skein as it goes into the bath.
func bareSample(h *workshop.House, p workshop.Person) string {
	return must(h.SaveSample(ctx, p, workshop.Kept[workshop.Sample]{Value: workshop.Sample{Recipe: ownRecipe, Colour: colour.Lab{L: 88, A: 1, B: 10}, How: "typed"}})).ID
}

// scene is a made-up photograph: a grey card of 18 % to the left, yarn to the
// right, in one light.
type scene struct {
	yarn  colour.Lab
	light colour.Linear
	tilt  float64 // the light grows by so much from left to right
	side  int     // longer side, pixels
	noise bool
	card  bool
}

// daylight is a light in which nothing of the card or of the yarn is clipped.
var daylight = colour.Linear{R: 0.9, G: 0.8, B: 0.6}

// photograph paints the scene as a camera codes it (IEC 61966-2-1).
func (s scene) photograph() []byte {
	w, h := s.side, s.side*3/4
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	yarn, chance := s.yarn.Linear(), rand.New(rand.NewPCG(1, 2))
	for y := range h {
		for x := range w {
			across, down := float64(x)/float64(w), float64(y)/float64(h)
			c := colour.Linear{R: 0.4, G: 0.37, B: 0.33}
			switch {
			case s.card && across > 0.08 && across < 0.35 && down > 0.3 && down < 0.7:
				c = colour.Linear{R: 0.18, G: 0.18, B: 0.18}
			case across > 0.55 && across < 0.95 && down > 0.2 && down < 0.8:
				c = yarn
			case !s.card && (x/7+y/7)%2 == 0:
				c = colour.Linear{R: 0.05, G: 0.06, B: 0.02} // grass and stones where the card should lie
			}
			e := 1 + s.tilt*(across-0.5)
			if s.noise {
				e += 0.03 * math.Sin(float64(y)) * chance.NormFloat64()
			}
			p := colour.Linear{R: c.R * s.light.R * e, G: c.G * s.light.G * e, B: c.B * s.light.B * e}.SRGB()
			img.SetRGBA(x, y, color.RGBA{p.R, p.G, p.B, 255})
		}
	}
	var b bytes.Buffer
	must(0, png.Encode(&b, img))
	return b.Bytes()
}

// marks are where card and yarn lie in a scene, as the form sends them.
func marks(more ...string) url.Values {
	return pairs(append([]string{"card-left", "12", "card-top", "36", "card-width", "18", "card-height", "28",
		"yarn-left", "60", "yarn-top", "28", "yarn-width", "30", "yarn-height", "44"}, more...)...)
}

// sendScene sends a photograph to a page, and gives where it is shown.
func (s *site) sendScene(path, who string, body []byte, fields url.Values) answer {
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for name := range fields {
		must(0, w.WriteField(name, fields.Get(name)))
	}
	if body != nil {
		must(must(w.CreateFormFile("picture", "foto.png")).Write(body))
	}
	must(0, w.Close())
	r := httptest.NewRequest(http.MethodPost, path+"/photo", &b)
	r.Header.Set("Content-Type", w.FormDataContentType())
	return s.request(r, who)
}

// laidPhoto sends a photograph and gives its mark.
func (s *site) laidPhoto(path string, body []byte) string {
	s.Helper()
	got := s.sendScene(path, "dyer", body, nil)
	s.want("photo to "+path, got, http.StatusSeeOther)
	at := must(url.Parse(got.Header().Get("Location")))
	if at.Path != path || at.Query().Get("photo") == "" {
		s.Fatalf("sent to %q", at)
	}
	return at.Query().Get("photo")
}

// says fails the test unless a page says something in the words of a key.
func (s *site) says(what string, got answer, text string) {
	s.Helper()
	if plain := strings.Join(strings.Fields(s.read(what, got).text), " "); !strings.Contains(plain, text) {
		s.Errorf("%s: %q is not on the page:\n%.1500s", what, text, plain)
	}
}

func problemOf(code, what string) check.Problem {
	return check.Problem{Severity: check.Caution, Code: code, Args: check.Args{"what": what}}
}

// pattern is 400 by 300 pixels, of which every nth column is of a grey and the
// others are black.
func pattern(every int, grey uint8) image.Image {
	img := image.NewRGBA(image.Rect(0, 0, 400, 300))
	for y := range 300 {
		for x := range 400 {
			c := color.RGBA{A: 255}
			if x%every == 0 {
				c = color.RGBA{grey, grey, grey, 255}
			}
			img.SetRGBA(x, y, c)
		}
	}
	return img
}
