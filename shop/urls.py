"""Every address of the project: the shop's own pages here, the other two apps by their urls."""

from django.urls import URLPattern, include, path

from shop.views import equipment, house, people, records, sign_on, words

people_patterns: list[URLPattern] = [
    path("", people.listing, name="list"),
    path("new/", people.new, name="new"),
    path("<int:pk>/", people.page, name="page"),
    path("<int:pk>/card/", people.card, name="card"),
    path("<int:pk>/authorise/", people.authorise, name="authorise"),
    path("<int:pk>/end/", people.end, name="end"),
    path("<int:pk>/leave/", people.leave, name="leave"),
    path("<int:pk>/password/", people.password, name="password"),
]
equipment_patterns: list[URLPattern] = [
    path("", equipment.listing, name="list"),
    path("new/", equipment.new, name="new"),
    path("<slug:code>/", equipment.page, name="page"),
    path("<slug:code>/check/", equipment.check, name="check"),
    path("<slug:code>/retire/", equipment.retire, name="retire"),
]
house_patterns: list[URLPattern] = [path("rules/", house.rules, name="rules")]

urlpatterns = [
    path("sign-on/", sign_on.sign_on, name="sign-on"),
    path("sign-off/", sign_on.sign_off, name="sign-off"),
    path("words/", words.words, name="words"),
    path("records/", records.records, name="records"),
    path("people/", include((people_patterns, "people"))),
    path("equipment/", include((equipment_patterns, "equipment"))),
    path("house/", include((house_patterns, "house"))),
    path("", include("inventory.urls")),
    path("", include("compliance.urls")),
]
