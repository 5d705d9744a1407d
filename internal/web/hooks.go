package web

import (
	"time"

	"urdir/internal/workshop"
)

// hookView is an address with what it was told.
type hookView struct {
	workshop.Kept[workshop.Hook]
	Log    []workshop.Message
	Secret string // shown once
}

// HookEvents is everything an address can be told, for forms.
func (v *visit) HookEvents() []string { return workshop.HookEvents }

// MomentDay is the date of a moment, in words.
func (v *visit) MomentDay(t time.Time) string { return v.Words.Date(t) }

func hookList(v *visit) error {
	l, err := v.s.house.Hooks(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	return v.page("hooks", v.T("hooks"), l)
}

// hook gives the address that a page is about; a new one on the page of a new one.
func (v *visit) hook() (out hookView, err error) {
	id := v.r.PathValue("id")
	if id == "" {
		return out, nil
	}
	out.Kept, out.Log, err = v.s.house.Hook(v.r.Context(), v.Person, id)
	return out, err
}

func hookPage(v *visit) error {
	view, err := v.hook()
	if err != nil {
		return err
	}
	return v.page("hook", v.titleOf("hook-new", view.ID, view.Value.URL), view)
}

func saveHook(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	view, err := v.hook()
	if err != nil {
		return err
	}
	fresh := view.ID == ""
	if !fresh {
		view.Revision = f.revision()
	}
	title := v.titleOf("hook-new", view.ID, view.Value.URL)
	view.Value.Name, view.Value.URL, view.Value.Events = f.text("name"), f.text("url"), f.texts("events")
	switch {
	case f.yes("off"):
		view.Value.State = workshop.HookOff
	case view.Value.State == workshop.HookOff:
		view.Value.State = workshop.HookOn
	}
	kept, secret, err := v.s.house.SaveHook(v.r.Context(), v.Person, view.Kept)
	if err != nil {
		return v.again(err, "hook", title, view)
	}
	if !fresh {
		return v.to("/settings/hooks/"+kept.ID, "saved")
	}
	return v.page("hook", v.titleOf("", kept.ID, kept.Value.URL), hookView{Kept: kept, Secret: secret})
}

// turnSecret shows the new secret of an address once.
func turnSecret(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	secret, err := v.s.house.TurnSecret(v.r.Context(), v.Person, v.r.PathValue("id"), f.revision())
	if err != nil {
		return err
	}
	view, err := v.hook()
	if err != nil {
		return err
	}
	view.Secret = secret
	return v.page("hook", v.titleOf("", view.ID, view.Value.URL), view)
}

func tryHook(v *visit) error {
	id := v.r.PathValue("id")
	if err := v.s.house.TryHook(v.r.Context(), v.Person, id); err != nil {
		return err
	}
	return v.to("/settings/hooks/"+id, "hook-tried")
}

func wakeHook(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	id := v.r.PathValue("id")
	if _, err := v.s.house.WakeHook(v.r.Context(), v.Person, id, f.revision(), f.yes("without")); err != nil {
		return err
	}
	return v.to("/settings/hooks/"+id, "hook-woken")
}

func dropHook(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	if err := v.s.house.DropHook(v.r.Context(), v.Person, v.r.PathValue("id"), f.revision()); err != nil {
		return err
	}
	return v.to("/settings/hooks", "hook-dropped")
}
