// Command urdir-screen is the cloth designer compiled for the browser. It puts
// one object, urdir, into the page's world; everything it does is in package
// screen. `make screen` builds it.
package main

import (
	"encoding/json"
	"runtime/debug"
	"syscall/js"

	"urdir/internal/screen"
)

func main() {
	// A page has one thread: collecting waste makes the hand wait. What lies on the
	// table is a few megabytes, so letting it grow fivefold is cheap.
	debug.SetGCPercent(400)
	var desk *screen.Desk
	text := func(f func(args []js.Value) string) js.Func {
		return js.FuncOf(func(_ js.Value, args []js.Value) any { return f(args) })
	}
	world := js.Global().Get("Object").New()
	world.Set("open", text(func(args []js.Value) string {
		var bench screen.Bench
		if err := json.Unmarshal([]byte(args[2].String()), &bench); err != nil {
			return ""
		}
		d, err := screen.Open(args[0].String(), args[1].String(), bench)
		if err != nil {
			return ""
		}
		desk = d
		return desk.State()
	}))
	world.Set("ask", text(func(args []js.Value) string { return desk.Ask(args[0].String()) }))
	world.Set("settle", text(func([]js.Value) string { return desk.Settle() }))
	world.Set("fields", text(func(args []js.Value) string { return desk.Fields(args[0].String()) }))
	world.Set("propose", text(func(args []js.Value) string { return desk.Propose(args[0].String()) }))
	world.Set("figure", text(func(args []js.Value) string { return desk.Figure(args[0].String()) }))
	world.Set("colours", text(func(args []js.Value) string {
		pixels := make([]byte, args[0].Length())
		js.CopyBytesToGo(pixels, args[0])
		return screen.Colours(pixels, args[1].Int())
	}))
	world.Set("chip", js.FuncOf(func(_ js.Value, args []js.Value) any {
		return js.CopyBytesToJS(args[3], screen.ChipPixels(args[0].String(), args[1].Int(), args[2].Int()))
	}))
	world.Set("file", text(func([]js.Value) string { return desk.File() }))
	world.Set("spot", text(func(args []js.Value) string {
		return desk.Spot(args[0].Int(), args[1].Int(), args[2].Int(), args[3].Int(), readView(args[4]))
	}))
	world.Set("picture", js.FuncOf(func(_ js.Value, args []js.Value) any {
		return js.CopyBytesToJS(args[3], desk.Picture(args[0].Int(), args[1].Int(), readView(args[2])))
	}))
	world.Set("drawing", drawings())
	js.Global().Set("urdir", world)
	js.Global().Get("dispatchEvent").Invoke(js.Global().Get("Event").New("urdir"))
	select {}
}

// readView reads a view; one that cannot be read is the whole piece.
func readView(v js.Value) (view screen.View) {
	_ = json.Unmarshal([]byte(v.String()), &view)
	return view
}
