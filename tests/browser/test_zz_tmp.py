from __future__ import annotations
import time, pytest
from tests.browser.test_every_page import *
pytestmark = pytest.mark.browser
def test_tmp(busy: Shop, enter: Enter) -> None:
    from inventory.models import Count
    page = enter(busy.marta)
    for path in [*PAGES["marta"], *PAGES["dev"]]:
        path = path.replace("counts/1/", f"counts/{Count.objects.get().pk}/")
        a=time.time(); page.goto(f"/{path}"); b=time.time()
        page.evaluate(AXE); c=time.time()
        ts=[]
        for opt in (OPTIONS, {"runOnly":["color-contrast"],"resultTypes": ["violations"]}, {"rules": {"target-size": {"enabled": True}}}):
            for w,h in ((390,844),(1280,900)):
              page.set_viewport_size({"width": w, "height": h})
              t=time.time(); ans=page.evaluate("options => axe.run(options)", opt); ts.append(round(time.time()-t,2))
              for v in violations(ans): print("  ", path, w, v)
              if w==390 and page.evaluate("document.documentElement.scrollWidth")>390: print("WIDE",path)
              if "rules" in opt:
                  for r in ans["incomplete"]: print("   incomplete", path, w, r["id"], len(r["nodes"]), r["nodes"][0]["target"], (r["nodes"][0]["any"] or r["nodes"][0]["none"] or [{}])[0].get("message"))
        print(path, round(b-a,2), round(c-b,2), ts, len(ans["passes"]))
