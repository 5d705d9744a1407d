// Command urdir-screen is the cloth designer compiled for the browser. It puts
// one object, urdir, into the page's world; everything it does is in package
// screen. `make screen` builds it.
package main

import (
	"encoding/json"
	"syscall/js"

	"urdir/internal/screen"
)

func main() {
	var desk *screen.Desk
	text := func(f func(args []js.Value) string) js.Func {
		return js.FuncOf(func(_ js.Value, args []js.Value) any { return f(args) })
	}
	world := js.Global().Get("Object").New()
	world.Set("open", text(func(args []js.Value) string {
		var lots []screen.Lot
		if err := json.Unmarshal([]byte(args[2].String()), &lots); err != nil {
			return ""
		}
		d, err := screen.Open(args[0].String(), args[1].String(), lots)
		if err != nil {
			return ""
		}
		desk = d
		return desk.State()
	}))
	world.Set("ask", text(func(args []js.Value) string { return desk.Ask(args[0].String()) }))
	world.Set("file", text(func([]js.Value) string { return desk.File() }))
	world.Set("spot", text(func(args []js.Value) string {
		return desk.Spot(args[0].Int(), args[1].Int(), args[2].Int(), args[3].Int(), readView(args[4]))
	}))
	world.Set("picture", js.FuncOf(func(_ js.Value, args []js.Value) any {
		return js.CopyBytesToJS(args[3], desk.Picture(args[0].Int(), args[1].Int(), readView(args[2])))
	}))
	js.Global().Set("urdir", world)
	js.Global().Get("dispatchEvent").Invoke(js.Global().Get("Event").New("urdir"))
	select {}
}

// readView reads a view; one that cannot be read is the whole piece.
func readView(v js.Value) (view screen.View) {
	_ = json.Unmarshal([]byte(v.String()), &view)
	return view
}
