#!/usr/bin/python3
# Makes calc.xlsx as LibreOffice Calc saves it (soffice and python3-uno of Debian): dates in many formats, numbers in formats
# of another locale, formulas with their results, a comment, a frozen header, an empty sheet. Run it in this folder.
import os, subprocess, tempfile, time
import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.lang import Locale

HEAD = ["bed", "date", "quadrat", "quadrat_m2", "species", "cover_pct", "biomass_g"]
DATES = [("en", "D MMM YYYY"), ("en", "MM/DD/YY"), ("de", "TT.MM.JJJJ"), ("en", "QQ YY"), ("en", "YYYY-MM-DD HH:MM"), ("en", "D/M")]


def prop(name, value):
    p = PropertyValue()
    p.Name, p.Value = name, value
    return p


def form(doc, language, code):
    place = Locale(language, {"en": "US", "de": "DE"}[language], "")
    key = doc.NumberFormats.queryKey(code, place, False)
    return key if key >= 0 else doc.NumberFormats.addNew(code, place)


def fill(doc):
    beds = doc.Sheets.getByIndex(0)
    beds.Name = "beds"
    for r, row in enumerate((["bed", "area_m2"], ["Skarn", 1200])):
        for c, v in enumerate(row):
            setattr(beds.getCellByPosition(c, r), "Value" if isinstance(v, int) else "String", v)
    doc.Sheets.insertNewByName("Sheet2", 1)
    doc.Sheets.insertNewByName("quadrats", 2)
    q = doc.Sheets.getByName("quadrats")
    for c, v in enumerate(HEAD):
        q.getCellByPosition(c, 0).String = v
    for r, (language, code) in enumerate(DATES, 1):
        q.getCellByPosition(0, r).Formula = "Skarn" if r == 1 else "=A%d" % r
        day = q.getCellByPosition(1, r)
        day.Formula = "2024-06-11"
        day.NumberFormat = form(doc, language, code)
        q.getCellByPosition(2, r).Value = r
        q.getCellByPosition(3, r).Value = 0.25
        q.getCellByPosition(4, r).String = "Fucus serratus"
        cover = q.getCellByPosition(5, r)
        cover.Value = 40.5 + 3 * r
        cover.NumberFormat = form(doc, "de", "#.##0")
        q.getCellByPosition(6, r).Formula = "=ROUND(F%d*17.1;1)" % (r + 1)
    q.Annotations.insertNew(q.getCellByPosition(5, 2).CellAddress, "30 or 40?")
    doc.CurrentController.setActiveSheet(q)
    doc.CurrentController.freezeAtPosition(0, 1)


with tempfile.TemporaryDirectory() as profile:
    pipe = "office%d" % os.getpid()
    office = subprocess.Popen(["soffice", "--headless", "--norestore", "-env:UserInstallation=file://" + profile, "--accept=pipe,name=%s;urp;" % pipe])
    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
    for _ in range(120):
        try:
            remote = resolver.resolve("uno:pipe,name=%s;urp;StarOffice.ComponentContext" % pipe)
            break
        except Exception:
            time.sleep(0.5)
    desktop = remote.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", remote)
    doc = desktop.loadComponentFromURL("private:factory/scalc", "_blank", 0, (prop("Hidden", True),))
    fill(doc)
    doc.storeToURL(uno.systemPathToFileUrl(os.path.abspath("calc.xlsx")), (prop("FilterName", "Calc MS Excel 2007 XML"),))
    doc.close(True)
    try:
        desktop.terminate()
    except Exception:
        pass
    office.wait(30)
