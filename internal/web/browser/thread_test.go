package browser_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/internal/workshop"
)

// TestFromOrderToPaid takes an order the whole way, each by whose work it is,
// with nothing but what the pages show.
func TestFromOrderToPaid(t *testing.T) {
	for _, c := range []struct {
		name string
		screen
	}{
		{"telephone in Spanish", telephone},
		{"desk in English", desk},
		{"without scripts", screen{wide: 390, lang: "es"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			w := newWorld(t)
			o := &ordered{world: w, screen: c.screen, seller: w.open(t, c.screen), dyer: w.open(t, c.screen)}
			if !c.script {
				o.scriptsAreOff(t)
			}
			o.order(t)
			o.lots(t)
			o.giveOut(t)
			o.weave(t)
			o.takeBack(t)
			o.finish(t)
			o.pay(t)
		})
	}
}

// ordered is one order on its way.
type ordered struct {
	world
	screen
	seller, dyer, weaver *tab

	at  string // address of the order
	job string // address of its warp
}

const (
	customer = "Casa Lumbreras"
	weaver   = "Benita Solórzano"
)

// scriptsAreOff holds the browser to what it was told.
func (o *ordered) scriptsAreOff(t *testing.T) {
	t.Helper()
	o.seller.leave("a page with a script", to("data:text/html,<title>off</title><script>document.title='on'</script>", ""))
	if got := eval[string](o.seller, "title", "document.title"); got != "off" {
		t.Fatalf("scripts are %s, want off", got)
	}
}

// knots checks the order's thread: how many stages are done, which others are,
// and which is at hand.
func (o *ordered) knots(t *testing.T, done, now string, later ...string) {
	t.Helper()
	want := map[string]string{}
	state := "done"
	for _, s := range workshop.Stages {
		switch {
		case string(s) == now:
			want[string(s)], state = "now", "loose"
		case slices.Contains(later, string(s)):
			want[string(s)] = "done"
		default:
			want[string(s)] = state
		}
	}
	if got := o.seller.knots(t, o.at); !cmp.Equal(want, got) {
		t.Errorf("thread after %s (-want +got):\n%s", done, cmp.Diff(want, got))
	}
}

// knots reads a thread: the state of each stage, which its class and its words
// must both say.
func (b *tab) knots(t *testing.T, path string) map[string]string {
	t.Helper()
	b.visit(path)
	got := map[string]string{}
	all := eval[[][2]string](b, "thread", `[...document.querySelectorAll("ol.thread > li")].map(e => [e.className, e.textContent.replace(/\s+/g, " ").trim()])`)
	for i, k := range all {
		if i >= len(workshop.Stages) {
			t.Fatalf("thread has %d knots, want %d", len(all), len(workshop.Stages))
		}
		stage := string(workshop.Stages[i])
		if want := b.T("stage-"+stage) + ", " + b.T("knot-"+k[0]); !strings.HasPrefix(k[1], want) {
			t.Errorf("knot says %q, want %q at its beginning", k[1], want)
		}
		got[stage] = k[0]
	}
	return got
}

// order has the seller take an order of a new customer, and confirm it.
func (o *ordered) order(t *testing.T) {
	b := o.seller
	b.signIn(workshop.Seller)
	b.follow(b.T("orders"))
	b.follow(b.T("order-new"))
	b.follow(b.T("customer-new"))
	b.write(b.T("name"), customer)
	b.write(b.T("contact"), "casa@lumbreras.example")
	b.press(b.T("save"))
	b.follow(b.T("orders"))
	b.follow(b.T("order-new"))
	b.choose(b.T("customer"), customer)
	b.write(b.T("due-by"), "2099-06-01")
	b.choose(b.T("cloth"), "Bufanda Bruma")
	b.write(b.T("quantity"), "1")
	b.press(b.T("save"))
	o.at = b.path()
	o.knots(t, "order", "cloth")
	b.press(b.T("confirm-order"))
	o.knots(t, "confirm", "yarn")
}

// view is the order as the workshop has it: only to know what to type.
func (o *ordered) view(t *testing.T) workshop.OrderView {
	t.Helper()
	v, err := o.house.Order(t.Context(), o.head, strings.TrimPrefix(o.at, "/orders/"))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// lots has the dyer choose a lot for each yarn: of its name if there is enough
// on the shelf, else any other.
func (o *ordered) lots(t *testing.T) {
	b := o.dyer
	b.signIn(workshop.Dyer)
	b.visit(o.at)
	all, stock, err := o.house.Lots(t.Context(), o.head, workshop.Page{})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range o.view(t).Lines[0].Wants {
		if want.Need.Mass == 0 {
			continue
		}
		enough := slices.DeleteFunc(slices.Clone(all.Items), func(l workshop.Kept[workshop.Lot]) bool {
			return l.Value.Waiting || stock[l.ID].OnShelf < want.Need.Mass
		})
		i := slices.IndexFunc(enough, func(l workshop.Kept[workshop.Lot]) bool { return l.Value.Label == want.Need.Label })
		l := enough[max(i, 0)].Value
		b.choose(b.T("lot")+" "+want.Need.Label, strings.TrimSpace(l.Letter+" "+l.Label))
	}
	b.press(b.T("choose-lots"))
	o.knots(t, "lots", "warp")
}

// giveOut has the dyer give the warp to a member, with the yarn the page
// proposes.
func (o *ordered) giveOut(t *testing.T) {
	b := o.dyer
	b.visit(o.at)
	b.click(`main a[href^="/work/"]`, "")
	o.job = b.path()
	b.choose(b.T("member"), weaver)
	b.write(b.T("pay"), "31.50")
	b.press(b.T("job-give"))
	o.knots(t, "give out", "warp")
}

// weave has the member go in by the card the head makes her, see nothing but
// her own work, and tell how far she is.
func (o *ordered) weave(t *testing.T) {
	o.weaver = o.open(t, o.screen)
	b := o.weaver
	b.visit(o.card(t))
	b.press(b.T("card-go"))
	b.speak()
	o.onlyOwn(t)

	b.click(fmt.Sprintf("main a[href=%q]", o.job), "")
	b.press(b.T("tell-laid"))
	o.knots(t, "laid", "loom")
	b.write(b.T("woven-cm"), "12")
	b.press(b.T("tell"))
	o.knots(t, "first cm", "off")
	v := o.view(t)
	length := float64(v.Jobs[0].Value.Length)
	if got, want := b.woven(), math.Round(12/length*100); math.Abs(got-want) > 1 {
		t.Errorf("woven after 12 of %.1f cm: %v %%, want %v %%", length, got, want)
	}
	bands := v.Lines[0].Made.Plan.Panels[0].Bands
	last := len(bands)
	for bands[last-1].To == 0 { // what is not woven, as a fringe, ends no band
		last--
	}
	b.choose(b.T("or-bands"), fmt.Sprintf("%d ·", last))
	b.press(b.T("tell"))
	if got, want := b.woven(), math.Round(float64(bands[last-1].To)/length*100); math.Abs(got-want) > 1 {
		t.Errorf("woven after band %d: %v %%, want %v %%", last, got, want)
	}
}

// woven is how much the warp's page says is woven, in per cent.
func (b *tab) woven() float64 {
	return eval[float64](b, "progress", `document.querySelector("main progress").value`)
}

// card has the head make the member's card, and gives its link.
func (o *ordered) card(t *testing.T) string {
	t.Helper()
	b := o.open(t, o.screen)
	b.signIn(workshop.Head)
	b.follow(b.T("settings"))
	b.follow(b.T("people"))
	b.follow(weaver)
	b.press(b.T("card-make"))
	if !eval[bool](b, "QR", `document.querySelector(".qr svg").getBoundingClientRect().width > 150`) {
		t.Error("the card's code is too small to be read")
	}
	for word := range strings.FieldsSeq(b.text()) {
		if strings.HasPrefix(word, o.url+"/card/") {
			return word
		}
	}
	t.Fatalf("no link of a card on the page:\n%s", b.text())
	return ""
}

// onlyOwn checks that the member is shown her own work and nothing else.
func (o *ordered) onlyOwn(t *testing.T) {
	t.Helper()
	b := o.weaver
	for _, room := range []string{"orders", "cloths", "yarn-room", "members", "pieces-room", "settings"} {
		if strings.Contains(eval[string](b, "rooms", `document.querySelector("nav.rooms").innerText`), b.T(room)) {
			t.Errorf("the member is offered %q", b.T(room))
		}
	}
	b.refused("/orders", 403)
	b.refused(o.at, 403)
	b.visit("/work")
	shown := eval[[]string](b, "work", `[...document.querySelectorAll('main a[href^="/work/"]')].map(e => e.getAttribute("href"))`)
	mine := o.view(t).Jobs[0].Value.Member
	if !slices.Contains(shown, o.job) {
		t.Errorf("her work is %v, want %s among it", shown, o.job)
	}
	all, _, err := o.house.Jobs(t.Context(), o.head, workshop.Page{})
	if err != nil {
		t.Fatal(err)
	}
	others := 0
	for _, j := range all.Items {
		if j.Value.Member == mine {
			continue
		}
		if slices.Contains(shown, "/work/"+j.ID) {
			t.Errorf("she is shown the work of another: %s", j.ID)
		}
		if others == 0 {
			b.refused("/work/"+j.ID, 404)
		}
		others++
	}
	if others == 0 {
		t.Fatal("nobody else has work; nothing was checked")
	}
	b.visit("/")
}

// takeBack has the dyer weigh the cloth and the yarn left.
func (o *ordered) takeBack(t *testing.T) {
	b := o.dyer
	b.visit(o.job)
	b.write(b.T("cloth-weight"), fmt.Sprint(o.weight(t)))
	left := eval[[]string](b, "bag", `[...document.querySelectorAll('main label[for^="f-left."]')].map(e => e.innerText)`)
	if len(left) == 0 {
		t.Fatal("no yarn was in her bag")
	}
	b.write(left[0], "2")
	b.press(b.T("job-take-back"))
	o.knots(t, "take back", "finished")
}

// weight is the finished piece's weight by plan, in whole grams.
func (o *ordered) weight(t *testing.T) int {
	return int(o.view(t).Lines[0].Made.Plan.Piece.Mass)
}

// finish has the seller measure the piece, and hand it over.
func (o *ordered) finish(t *testing.T) {
	b := o.seller
	b.visit(o.at)
	b.click(`main a[href^="/pieces/"]`, "")
	piece := b.path()
	b.write(b.T("weight-g"), fmt.Sprint(o.weight(t)-1))
	b.write(b.T("length-cm"), "158")
	b.write(b.T("width-cm"), "23.5")
	b.press(b.T("finish"))
	o.knots(t, "finish", "delivered", "learned")
	b.visit(piece)
	b.press(b.T("deliver"))
	o.knots(t, "deliver", "paid", "learned")
}

// pay has the bookkeeper pay what was agreed.
func (o *ordered) pay(t *testing.T) {
	b := o.open(t, o.screen)
	b.signIn(workshop.Bookkeeper)
	b.visit(o.job)
	if got := eval[string](b, "pay", `document.getElementById("f-paid").value`); got != "31.50" {
		t.Errorf("to be paid: %q, want the 31.50 agreed", got)
	}
	b.press(b.T("tell-paid"))
	o.knots(t, "pay", "")
}
