package api

import "urdir/internal/workshop"

// MemberIn is what is said of a member.
type MemberIn struct {
	Name      string   `json:"name" example:"Benita"`
	Skills    []string `json:"skills,omitempty" example:"weave"`
	Hours     int      `json:"hours,omitempty" example:"20"`
	Languages []string `json:"languages,omitempty" example:"es"`
	Reach     string   `json:"reach,omitempty" example:"in the morning, at the gate"`
	Named     bool     `json:"named,omitempty" example:"true"`
	Away      bool     `json:"away,omitempty" example:"false"`
	Note      string   `json:"note,omitempty" example:"Likes wide cloth."`
}

// Member is a weaver, or someone who lays warps, dyes, sews. How she is reached and
// what was noted of her are for whoever keeps the members alone.
type Member struct {
	Head
	MemberIn
}

func (a *asked) member(k workshop.Kept[workshop.Member]) Member {
	v := k.Value
	out := Member{headOf(k), MemberIn{v.Name, v.Skills, v.Hours, v.Languages, v.Reach, v.Named, v.Away, v.Note}}
	if p := a.person; !p.May("SaveMember") {
		out.Reach, out.Note = "", ""
	}
	return out
}

func memberOps() []op {
	save := func(a *asked, in MemberIn) (Member, error) {
		k, err := a.house.SaveMember(a.Context(), a.person, workshop.Kept[workshop.Member]{ID: a.id(), Revision: a.revision,
			Value: workshop.Member{Name: in.Name, Skills: in.Skills, Hours: in.Hours, Languages: in.Languages, Reach: in.Reach, Named: in.Named, Away: in.Away, Note: in.Note}})
		return a.member(k), err
	}
	return []op{
		list("members", "/members", "Members", func(a *asked, p workshop.Page) ([]Member, string, error) {
			l, err := a.house.Members(a.Context(), a.person, p)
			return listed(l, err, a.member)
		}, word("find", "benita")),
		get("member", "/members/{id}", "Member", func(a *asked) (Member, error) {
			k, _, err := a.house.Member(a.Context(), a.person, a.id())
			return a.member(k), err
		}),
		change("new-member", "POST /members", "SaveMember", matchNone, save),
		change("change-member", "PUT /members/{id}", "SaveMember", matchMust, save),
	}
}
