<?xml version="1.0" encoding="utf-8"?>
<!DOCTYPE TS>
<TS version="2.1" language="de" sourcelanguage="en">
<context>
    <name>Canvas</name>
    <message>
        <source>Film</source>
        <translation>Aufnahme</translation>
    </message>
    <message>
        <source>{length} mm</source>
        <translation>{length} mm</translation>
    </message>
</context>
<context>
    <name>CaseCommands</name>
    <message>
        <source>Open film or case</source>
        <translation>Aufnahme oder Fall öffnen</translation>
    </message>
    <message>
        <source>Films and cases</source>
        <translation>Aufnahmen und Fälle</translation>
    </message>
    <message>
        <source>All files</source>
        <translation>Alle Dateien</translation>
    </message>
    <message>
        <source>Keep the case as</source>
        <translation>Fall aufbewahren als</translation>
    </message>
    <message>
        <source>Save a copy of the case</source>
        <translation>Kopie des Falls speichern</translation>
    </message>
    <message>
        <source>Copy saved: {0}</source>
        <translation>Kopie gespeichert: {0}</translation>
    </message>
    <message>
        <source>Write the record as PDF</source>
        <translation>Bericht als PDF schreiben</translation>
    </message>
    <message>
        <source>Record written: {0}</source>
        <translation>Bericht geschrieben: {0}</translation>
    </message>
</context>
<context>
    <name>CasesLeaf</name>
    <message>
        <source>tooth, label, job or date</source>
        <translation>Zahn, Beschriftung, Aufgabe oder Datum</translation>
    </message>
    <message>
        <source>Search cases</source>
        <translation>Fälle suchen</translation>
    </message>
    <message>
        <source>The practice list is not at hand.</source>
        <translation>Die Praxisliste ist nicht verfügbar.</translation>
    </message>
    <message numerus="yes">
        <source>%n case(s)</source>
        <translation>
            <numerusform>%n Fall</numerusform>
            <numerusform>%n Fälle</numerusform>
        </translation>
    </message>
    <message>
        <source>no label</source>
        <translation>ohne Beschriftung</translation>
    </message>
    <message>
        <source>recall of {tooth} due {date}</source>
        <translation>Nachkontrolle von {tooth} fällig {date}</translation>
    </message>
</context>
<context>
    <name>Changes</name>
    <message>
        <source>working length</source>
        <translation>Arbeitslänge</translation>
    </message>
    <message>
        <source>filled to</source>
        <translation>gefüllt bis</translation>
    </message>
    <message>
        <source>depth of the post</source>
        <translation>Tiefe des Stifts</translation>
    </message>
    <message>
        <source>filling left</source>
        <translation>verbleibende Wurzelkanalfüllung</translation>
    </message>
    <message>
        <source>post in bone</source>
        <translation>Stift im Knochen</translation>
    </message>
</context>
<context>
    <name>Chart</name>
    <message>
        <source>The level chart is drawn from your landmarks.</source>
        <translation>Das Höhendiagramm wird aus Ihren Messpunkten gezeichnet.</translation>
    </message>
</context>
<context>
    <name>ClassCommands</name>
    <message>
        <source>Folder of the class: films, truth, one folder a student</source>
        <translation>Ordner des Kurses: Aufnahmen, Wahrheit, je Studierendem ein Ordner</translation>
    </message>
    <message>
        <source>Name a new folder for the results</source>
        <translation>Neuen Ordner für die Ergebnisse benennen</translation>
    </message>
    <message>
        <source>class marked</source>
        <translation>Kurs bewertet</translation>
    </message>
    <message>
        <source>Class marked, results in {0}</source>
        <translation>Kurs bewertet, Ergebnisse in {0}</translation>
    </message>
    <message>
        <source>not marked: {0}</source>
        <translation>nicht bewertet: {0}</translation>
    </message>
    <message>
        <source>Marking stopped</source>
        <translation>Bewertung abgebrochen</translation>
    </message>
</context>
<context>
    <name>ClassMarking</name>
    <message>
        <source>A class marked</source>
        <translation>Ein Kurs, bewertet</translation>
    </message>
    <message>
        <source>Marking {0}</source>
        <translation>{0} wird bewertet</translation>
    </message>
    <message>
        <source>Share of the class that is marked</source>
        <translation>Bewerteter Anteil des Kurses</translation>
    </message>
    <message>
        <source>Cancel</source>
        <translation>Abbrechen</translation>
    </message>
    <message>
        <source>Summary of the class</source>
        <translation>Zusammenfassung des Kurses</translation>
    </message>
    <message>
        <source>Results in {0}</source>
        <translation>Ergebnisse in {0}</translation>
    </message>
    <message>
        <source>Close</source>
        <translation>Schließen</translation>
    </message>
</context>
<context>
    <name>CommandList</name>
    <message>
        <source>Find a command</source>
        <translation>Befehl suchen</translation>
    </message>
    <message>
        <source>type a part of a command&apos;s name</source>
        <translation>einen Teil des Befehlsnamens eingeben</translation>
    </message>
    <message>
        <source>Commands found</source>
        <translation>Gefundene Befehle</translation>
    </message>
</context>
<context>
    <name>Commands</name>
    <message>
        <source>&amp;Case</source>
        <translation>&amp;Fall</translation>
    </message>
    <message>
        <source>New case</source>
        <translation>Neuer Fall</translation>
    </message>
    <message>
        <source>Open film or case …</source>
        <translation>Aufnahme oder Fall öffnen …</translation>
    </message>
    <message>
        <source>New synthetic film …</source>
        <translation>Neue synthetische Aufnahme …</translation>
    </message>
    <message>
        <source>Keep the case as …</source>
        <translation>Fall aufbewahren als …</translation>
    </message>
    <message>
        <source>Save a copy …</source>
        <translation>Kopie speichern …</translation>
    </message>
    <message>
        <source>Take the case over</source>
        <translation>Fall übernehmen</translation>
    </message>
    <message>
        <source>Write the record as PDF …</source>
        <translation>Bericht als PDF schreiben …</translation>
    </message>
    <message>
        <source>Write DICOM objects …</source>
        <translation>DICOM-Objekte schreiben …</translation>
    </message>
    <message>
        <source>Teaching copy …</source>
        <translation>Lehrkopie …</translation>
    </message>
    <message>
        <source>Mark a class of students …</source>
        <translation>Kurs von Studierenden bewerten …</translation>
    </message>
    <message>
        <source>Print …</source>
        <translation>Drucken …</translation>
    </message>
    <message>
        <source>Undo</source>
        <translation>Rückgängig</translation>
    </message>
    <message>
        <source>Redo</source>
        <translation>Wiederholen</translation>
    </message>
    <message>
        <source>Cases of the practice</source>
        <translation>Fälle der Praxis</translation>
    </message>
    <message>
        <source>Quit</source>
        <translation>Beenden</translation>
    </message>
    <message>
        <source>&amp;Job</source>
        <translation>&amp;Aufgabe</translation>
    </message>
    <message>
        <source>Length check</source>
        <translation>Längenmessung</translation>
    </message>
    <message>
        <source>Filling check</source>
        <translation>Füllungskontrolle</translation>
    </message>
    <message>
        <source>Post plan</source>
        <translation>Stiftplanung</translation>
    </message>
    <message>
        <source>Space check</source>
        <translation>Stiftbettkontrolle</translation>
    </message>
    <message>
        <source>Post check</source>
        <translation>Stiftkontrolle</translation>
    </message>
    <message>
        <source>Recall</source>
        <translation>Nachkontrolle</translation>
    </message>
    <message>
        <source>Another tooth</source>
        <translation>Anderer Zahn</translation>
    </message>
    <message>
        <source>Other roots</source>
        <translation>Andere Wurzeln</translation>
    </message>
    <message>
        <source>Scale from something on the film</source>
        <translation>Maßstab aus etwas auf der Aufnahme</translation>
    </message>
    <message>
        <source>&amp;Mark</source>
        <translation>&amp;Messpunkte</translation>
    </message>
    <message>
        <source>Keep and go on</source>
        <translation>Behalten und weiter</translation>
    </message>
    <message>
        <source>Keep all suggestions</source>
        <translation>Alle Vorschläge behalten</translation>
    </message>
    <message>
        <source>Skip for now</source>
        <translation>Vorerst überspringen</translation>
    </message>
    <message>
        <source>Take the mark away</source>
        <translation>Markierung entfernen</translation>
    </message>
    <message>
        <source>Next mark</source>
        <translation>Nächste Markierung</translation>
    </message>
    <message>
        <source>Previous mark</source>
        <translation>Vorige Markierung</translation>
    </message>
    <message>
        <source>Suggest landmarks</source>
        <translation>Messpunkte vorschlagen</translation>
    </message>
    <message>
        <source>Drop all suggestions</source>
        <translation>Alle Vorschläge verwerfen</translation>
    </message>
    <message>
        <source>Exchange mesial and distal</source>
        <translation>Mesial und distal vertauschen</translation>
    </message>
    <message>
        <source>&amp;Film</source>
        <translation>A&amp;ufnahme</translation>
    </message>
    <message>
        <source>Whole film</source>
        <translation>Ganze Aufnahme</translation>
    </message>
    <message>
        <source>Actual size</source>
        <translation>Tatsächliche Größe</translation>
    </message>
    <message>
        <source>Larger</source>
        <translation>Größer</translation>
    </message>
    <message>
        <source>Smaller</source>
        <translation>Kleiner</translation>
    </message>
    <message>
        <source>Brighter</source>
        <translation>Heller</translation>
    </message>
    <message>
        <source>Darker</source>
        <translation>Dunkler</translation>
    </message>
    <message>
        <source>More contrast</source>
        <translation>Mehr Kontrast</translation>
    </message>
    <message>
        <source>Less contrast</source>
        <translation>Weniger Kontrast</translation>
    </message>
    <message>
        <source>Middle tones darker</source>
        <translation>Mitteltöne dunkler</translation>
    </message>
    <message>
        <source>Middle tones lighter</source>
        <translation>Mitteltöne heller</translation>
    </message>
    <message>
        <source>Greys for what is in sight</source>
        <translation>Grauwerte für den sichtbaren Teil</translation>
    </message>
    <message>
        <source>Greys as the film says</source>
        <translation>Grauwerte wie in der Datei</translation>
    </message>
    <message>
        <source>Invert</source>
        <translation>Invertieren</translation>
    </message>
    <message>
        <source>Turn right</source>
        <translation>Nach rechts drehen</translation>
    </message>
    <message>
        <source>Turn left</source>
        <translation>Nach links drehen</translation>
    </message>
    <message>
        <source>Mirror</source>
        <translation>Spiegeln</translation>
    </message>
    <message>
        <source>Next film</source>
        <translation>Nächste Aufnahme</translation>
    </message>
    <message>
        <source>Previous film</source>
        <translation>Vorige Aufnahme</translation>
    </message>
    <message>
        <source>Another film beside</source>
        <translation>Weitere Aufnahme daneben</translation>
    </message>
    <message>
        <source>Change the film beside</source>
        <translation>Aufnahme daneben wechseln</translation>
    </message>
    <message>
        <source>Move both together</source>
        <translation>Beide gemeinsam bewegen</translation>
    </message>
    <message>
        <source>Copy picture</source>
        <translation>Bild kopieren</translation>
    </message>
    <message>
        <source>Take the film out of the case</source>
        <translation>Aufnahme aus dem Fall nehmen</translation>
    </message>
    <message>
        <source>&amp;View</source>
        <translation>A&amp;nsicht</translation>
    </message>
    <message>
        <source>To the film</source>
        <translation>Zur Aufnahme</translation>
    </message>
    <message>
        <source>To the level chart</source>
        <translation>Zum Höhendiagramm</translation>
    </message>
    <message>
        <source>Record</source>
        <translation>Bericht</translation>
    </message>
    <message>
        <source>Entries and scale</source>
        <translation>Eingaben und Maßstab</translation>
    </message>
    <message>
        <source>Landmarks as a table</source>
        <translation>Messpunkte als Tabelle</translation>
    </message>
    <message>
        <source>Decision worksheet</source>
        <translation>Entscheidungsbogen</translation>
    </message>
    <message>
        <source>History</source>
        <translation>Verlauf</translation>
    </message>
    <message>
        <source>Truth of a synthetic film</source>
        <translation>Wahrheit einer synthetischen Aufnahme</translation>
    </message>
    <message>
        <source>Marks</source>
        <translation>Markierungen</translation>
    </message>
    <message>
        <source>Labels of the marks</source>
        <translation>Namen der Markierungen</translation>
    </message>
    <message>
        <source>Level chart</source>
        <translation>Höhendiagramm</translation>
    </message>
    <message>
        <source>Films by visit</source>
        <translation>Aufnahmen nach Sitzung</translation>
    </message>
    <message>
        <source>Full screen</source>
        <translation>Vollbild</translation>
    </message>
    <message>
        <source>&amp;Help</source>
        <translation>&amp;Hilfe</translation>
    </message>
    <message>
        <source>Find a command</source>
        <translation>Befehl suchen</translation>
    </message>
    <message>
        <source>Keys</source>
        <translation>Tasten</translation>
    </message>
    <message>
        <source>Three-minute tour</source>
        <translation>Rundgang in drei Minuten</translation>
    </message>
    <message>
        <source>Readings and their sources</source>
        <translation>Messwerte und ihre Quellen</translation>
    </message>
    <message>
        <source>Rules and their sources</source>
        <translation>Regeln und ihre Quellen</translation>
    </message>
    <message>
        <source>Cautions</source>
        <translation>Sicherheitshinweise</translation>
    </message>
    <message>
        <source>About radmeasure</source>
        <translation>Über radmeasure</translation>
    </message>
</context>
<context>
    <name>CompareLeaf</name>
    <message>
        <source>The films are being held against each other …</source>
        <translation>Die Aufnahmen werden einander gegenübergestellt …</translation>
    </message>
    <message>
        <source>There is no earlier film of this tooth in the case to hold this one against, or what it measured is still missing here.</source>
        <translation>Im Fall ist keine frühere Aufnahme dieses Zahns, mit der diese verglichen werden könnte, oder was sie gemessen hat, fehlt hier noch.</translation>
    </message>
    <message>
        <source>Planned and found</source>
        <translation>Geplant und gefunden</translation>
    </message>
    <message>
        <source>planned</source>
        <translation>geplant</translation>
    </message>
    <message>
        <source>found</source>
        <translation>gefunden</translation>
    </message>
    <message>
        <source>difference</source>
        <translation>Unterschied</translation>
    </message>
    <message>
        <source>more than error</source>
        <translation>mehr als der Messfehler</translation>
    </message>
    <message>
        <source>within error</source>
        <translation>innerhalb des Messfehlers</translation>
    </message>
</context>
<context>
    <name>Desk</name>
    <message>
        <source>Mesial and distal exchanged</source>
        <translation>Mesial und distal vertauscht</translation>
    </message>
</context>
<context>
    <name>EntriesLeaf</name>
    <message>
        <source>Case</source>
        <translation>Fall</translation>
    </message>
    <message>
        <source>Label</source>
        <translation>Beschriftung</translation>
    </message>
    <message>
        <source>any words; no name is needed</source>
        <translation>beliebige Worte; ein Name ist nicht nötig</translation>
    </message>
    <message>
        <source>Patient, if you like</source>
        <translation>Patient, wenn gewünscht</translation>
    </message>
    <message>
        <source>Name</source>
        <translation>Name</translation>
    </message>
    <message>
        <source>Family^Given</source>
        <translation>Nachname^Vorname</translation>
    </message>
    <message>
        <source>Number</source>
        <translation>Nummer</translation>
    </message>
    <message>
        <source>Born on</source>
        <translation>Geboren am</translation>
    </message>
    <message>
        <source>Sex</source>
        <translation>Geschlecht</translation>
    </message>
    <message>
        <source>Film</source>
        <translation>Aufnahme</translation>
    </message>
    <message>
        <source>Role of the film</source>
        <translation>Rolle der Aufnahme</translation>
    </message>
    <message>
        <source>Role</source>
        <translation>Rolle</translation>
    </message>
    <message>
        <source>Visit</source>
        <translation>Sitzung</translation>
    </message>
    <message>
        <source>Entered</source>
        <translation>Eingetragen</translation>
    </message>
    <message>
        <source>Age, years</source>
        <translation>Alter, Jahre</translation>
    </message>
    <message>
        <source>not known</source>
        <translation>nicht bekannt</translation>
    </message>
    <message>
        <source>Scale</source>
        <translation>Maßstab</translation>
    </message>
    <message>
        <source>From the film, or the receptor&apos;s pixel size</source>
        <translation>Aus Aufnahme oder Pixelgröße</translation>
    </message>
    <message>
        <source>Known length</source>
        <translation>Bekannte Länge</translation>
    </message>
    <message>
        <source>Ball</source>
        <translation>Kugel</translation>
    </message>
    <message>
        <source>Receptor</source>
        <translation>Bildempfänger</translation>
    </message>
    <message>
        <source>Take away</source>
        <translation>Wegnehmen</translation>
    </message>
    <message>
        <source>Lies</source>
        <translation>Liegt</translation>
    </message>
    <message>
        <source>Length, mm</source>
        <translation>Länge, mm</translation>
    </message>
    <message>
        <source>± mm (1 s.d.)</source>
        <translation>± mm (1 Std.-Abw.)</translation>
    </message>
    <message>
        <source>Diameter, mm</source>
        <translation>Durchmesser, mm</translation>
    </message>
    <message>
        <source>mm per pixel</source>
        <translation>mm je Pixel</translation>
    </message>
    <message>
        <source>Magnification</source>
        <translation>Vergrößerung</translation>
    </message>
    <message>
        <source>± (1 s.d.)</source>
        <translation>± (1 Std.-Abw.)</translation>
    </message>
    <message>
        <source>along the tooth</source>
        <translation>entlang des Zahns</translation>
    </message>
    <message>
        <source>across the tooth</source>
        <translation>quer zum Zahn</translation>
    </message>
    <message>
        <source>in no fixed direction</source>
        <translation>in keiner festen Richtung</translation>
    </message>
    <message>
        <source>Direction of the object</source>
        <translation>Richtung des Gegenstands</translation>
    </message>
</context>
<context>
    <name>Explain</name>
    <message>
        <source>Projected on the axis from the CEJ midpoint to the apex (Brezniak 2004, read).</source>
        <translation>Auf die Achse von der Mitte der SZG zum Apex projiziert (Brezniak 2004, gelesen).</translation>
    </message>
    <message>
        <source>Measured along the canal line.</source>
        <translation>Entlang der Kanallinie gemessen.</translation>
    </message>
    <message>
        <source>Common practice, no source.</source>
        <translation>Übliche Praxis, ohne Quelle.</translation>
    </message>
    <message>
        <source>From the coronal reference to the apex.</source>
        <translation>Vom koronalen Referenzpunkt bis zum Apex.</translation>
    </message>
    <message>
        <source>From the coronal reference to the root face, then along the canal to the foramen, or to the apex when no foramen was placed.</source>
        <translation>Vom koronalen Referenzpunkt bis zum Kanaleingang, dann entlang des Kanals bis zum Foramen, oder bis zum Apex, wenn kein Foramen gesetzt ist.</translation>
    </message>
    <message>
        <source>With a file in the canal: its length, plus the gap from its tip to the apex, less the distance to stay short. Without one: the canal&apos;s length less that distance.</source>
        <translation>Mit einer Feile im Kanal: ihre Länge plus die Lücke von ihrer Spitze bis zum Apex, abzüglich des einzuhaltenden Abstands. Ohne Feile: die Kanallänge abzüglich dieses Abstands.</translation>
    </message>
    <message>
        <source>1.0 mm short; 1.5 with loss of bone, 2.0 with loss of bone and root (Weine, Endodontic Therapy, read).</source>
        <translation>1,0 mm kürzer; 1,5 bei Knochenabbau, 2,0 bei Abbau von Knochen und Wurzel (Weine, Endodontic Therapy, gelesen).</translation>
    </message>
    <message>
        <source>The working length, rounded to what a stop can be set to.</source>
        <translation>Die Arbeitslänge, auf das gerundet, was sich am Stopp einstellen lässt.</translation>
    </message>
    <message>
        <source>From the file&apos;s tip to the apex along the canal; beyond it is negative.</source>
        <translation>Von der Feilenspitze bis zum Apex entlang des Kanals; darüber hinaus negativ.</translation>
    </message>
    <message>
        <source>A file that looks short is on average 0.46 mm nearer than it looks, one that looks long 1.2 mm further (Williams et al., J Endod 2006;32:624-627, read).</source>
        <translation>Eine Feile, die zu kurz aussieht, liegt im Mittel 0,46 mm näher, als sie aussieht; eine, die zu lang aussieht, 1,2 mm weiter außen (Williams et al., J Endod 2006;32:624-627, gelesen).</translation>
    </message>
    <message>
        <source>From the filling&apos;s end to the apex along the canal.</source>
        <translation>Vom Ende der Wurzelkanalfüllung bis zum Apex entlang des Kanals.</translation>
    </message>
    <message>
        <source>0 to 2 mm short is adequate (Ng et al., Int Endod J 2008;41:6-31, read).</source>
        <translation>0 bis 2 mm vor dem Apex ist angemessen (Ng et al., Int Endod J 2008;41:6-31, gelesen).</translation>
    </message>
    <message>
        <source>From the filling&apos;s coronal to its apical end.</source>
        <translation>Vom koronalen bis zum apikalen Ende der Wurzelkanalfüllung.</translation>
    </message>
    <message>
        <source>Filling left below a post, or below the filling&apos;s top.</source>
        <translation>Wurzelkanalfüllung unter einem Stift oder unter ihrem koronalen Ende.</translation>
    </message>
    <message>
        <source>4 to 5 mm are wanted (Morgano 1996; Ricketts 2005, read).</source>
        <translation>Gewünscht sind 4 bis 5 mm (Morgano 1996; Ricketts 2005, gelesen).</translation>
    </message>
    <message>
        <source>From the post&apos;s end to the filling&apos;s top; none is wanted.</source>
        <translation>Vom Stiftende bis zum Beginn der Wurzelkanalfüllung; es soll kein Spalt sein.</translation>
    </message>
    <message>
        <source>Disease in 17 % with no gap, 46 % up to 2 mm, 71 % over 2 mm (Moshonov et al., 94 teeth, read).</source>
        <translation>Erkrankung bei 17 % ohne Spalt, 46 % bis 2 mm, 71 % über 2 mm (Moshonov et al., 94 Zähne, gelesen).</translation>
    </message>
    <message>
        <source>From the post&apos;s coronal to its apical end.</source>
        <translation>Vom koronalen bis zum apikalen Ende des Stifts.</translation>
    </message>
    <message>
        <source>From the root face to the post&apos;s end along the canal.</source>
        <translation>Vom Kanaleingang bis zum Stiftende entlang des Kanals.</translation>
    </message>
    <message>
        <source>From the root face to the filling&apos;s top along the canal: room for a post.</source>
        <translation>Vom Kanaleingang bis zum Beginn der Wurzelkanalfüllung entlang des Kanals: Platz für einen Stift.</translation>
    </message>
    <message>
        <source>From the mean crest to the post&apos;s end.</source>
        <translation>Vom mittleren Alveolarkamm bis zum Stiftende.</translation>
    </message>
    <message>
        <source>From the coronal reference to the midpoint of the CEJ.</source>
        <translation>Vom koronalen Referenzpunkt bis zur Mitte der SZG.</translation>
    </message>
    <message>
        <source>From the midpoint of the CEJ to the apex.</source>
        <translation>Von der Mitte der SZG bis zum Apex.</translation>
    </message>
    <message>
        <source>From the coronal reference to the mean crest.</source>
        <translation>Vom koronalen Referenzpunkt bis zum mittleren Alveolarkamm.</translation>
    </message>
    <message>
        <source>From the mean crest to the apex: the root in bone.</source>
        <translation>Vom mittleren Alveolarkamm bis zum Apex: die Wurzel im Knochen.</translation>
    </message>
    <message>
        <source>From the CEJ to the crest of the same side.</source>
        <translation>Von der SZG bis zum Alveolarkamm derselben Seite.</translation>
    </message>
    <message>
        <source>0.4 to 1.9 mm without loss of bone (Hausmann 1991, read).</source>
        <translation>0,4 bis 1,9 mm ohne Knochenabbau (Hausmann 1991, gelesen).</translation>
    </message>
    <message>
        <source>Sound tooth from its margin to the crest, per side.</source>
        <translation>Gesunde Zahnsubstanz von ihrem Rand bis zum Alveolarkamm, je Seite.</translation>
    </message>
    <message>
        <source>4 mm are wanted (Assif 1991, read), 4.5 mm in McLean 1998 (read).</source>
        <translation>Gewünscht sind 4 mm (Assif 1991, gelesen), 4,5 mm bei McLean 1998 (gelesen).</translation>
    </message>
    <message>
        <source>Sound tooth above the crest, less what the attachment needs.</source>
        <translation>Gesunde Zahnsubstanz über dem Alveolarkamm abzüglich dessen, was der Gewebeansatz braucht.</translation>
    </message>
    <message>
        <source>Attachment 2.04 mm on average, 0.75 to 4 (Gargiulo 1961, read); ferrule 1.5 to 2 mm (Juloski 2012, read).</source>
        <translation>Gewebeansatz im Mittel 2,04 mm, 0,75 bis 4 (Gargiulo 1961, gelesen); Fassreifen 1,5 bis 2 mm (Juloski 2012, gelesen).</translation>
    </message>
    <message>
        <source>What is lacking of the ferrule that is wanted.</source>
        <translation>Was am gewünschten Fassreifen fehlt.</translation>
    </message>
    <message>
        <source>Ferrule 1.5 to 2 mm (Juloski 2012, read).</source>
        <translation>Fassreifen 1,5 bis 2 mm (Juloski 2012, gelesen).</translation>
    </message>
    <message>
        <source>Area inside the outline of the radiolucency.</source>
        <translation>Fläche innerhalb des Umrisses der Aufhellung.</translation>
    </message>
    <message>
        <source>Lesions show only after much mineral is lost (common teaching, no source).</source>
        <translation>Läsionen zeigen sich erst nach erheblichem Mineralverlust (verbreitete Lehre, ohne Quelle).</translation>
    </message>
    <message>
        <source>Largest diameter of the outline of the radiolucency.</source>
        <translation>Größter Durchmesser des Umrisses der Aufhellung.</translation>
    </message>
    <message>
        <source>Up to 3 mm S1, 3 to 5 mm S2, over 5 mm S3 (Venskutonis, read).</source>
        <translation>Bis 3 mm S1, 3 bis 5 mm S2, über 5 mm S3 (Venskutonis, gelesen).</translation>
    </message>
    <message>
        <source>Largest extent at right angles to the largest diameter.</source>
        <translation>Größte Ausdehnung rechtwinklig zum größten Durchmesser.</translation>
    </message>
    <message>
        <source>Venskutonis (read).</source>
        <translation>Venskutonis (gelesen).</translation>
    </message>
    <message>
        <source>Coronal reference to CEJ, divided by CEJ to apex. Needs no scale.</source>
        <translation>Koronaler Referenzpunkt bis SZG, geteilt durch SZG bis Apex. Braucht keinen Maßstab.</translation>
    </message>
    <message>
        <source>No limit is firmly supported (Grossmann &amp; Sadan 2005, read).</source>
        <translation>Kein Grenzwert ist sicher belegt (Grossmann &amp; Sadan 2005, gelesen).</translation>
    </message>
    <message>
        <source>Coronal reference to crest, divided by crest to apex. Needs no scale.</source>
        <translation>Koronaler Referenzpunkt bis Alveolarkamm, geteilt durch Alveolarkamm bis Apex. Braucht keinen Maßstab.</translation>
    </message>
    <message>
        <source>2:3 optimum, 1:1 least (Shillingburg; Penny &amp; Kraal 1979, from memory); no limit is firmly supported (Grossmann &amp; Sadan 2005, read).</source>
        <translation>2:3 optimal, 1:1 das Mindeste (Shillingburg; Penny &amp; Kraal 1979, aus dem Gedächtnis); kein Grenzwert ist sicher belegt (Grossmann &amp; Sadan 2005, gelesen).</translation>
    </message>
    <message>
        <source>Crest to apex as a share of CEJ to apex, per side.</source>
        <translation>Alveolarkamm bis Apex als Anteil von SZG bis Apex, je Seite.</translation>
    </message>
    <message>
        <source>CEJ to crest as a share of CEJ to apex, per side.</source>
        <translation>SZG bis Alveolarkamm als Anteil von SZG bis Apex, je Seite.</translation>
    </message>
    <message>
        <source>Classes under 15, 15 to 33, over 33 % (Tonetti et al. 2018, read). Staging is per patient and not from films alone.</source>
        <translation>Klassen unter 15, 15 bis 33, über 33 % (Tonetti et al. 2018, gelesen). Ein Stadium gilt für den Patienten und nicht allein nach Aufnahmen.</translation>
    </message>
    <message>
        <source>Bone loss with the normal distance from CEJ to crest taken off both parts.</source>
        <translation>Knochenabbau, bei dem der normale Abstand von SZG bis Alveolarkamm von beiden Teilen abgezogen ist.</translation>
    </message>
    <message>
        <source>Form of Maycher 2021 (read); the healthy mean is nearer 1 mm than 2 (Källestål &amp; Matsson 1989, read).</source>
        <translation>Form nach Maycher 2021 (gelesen); der Mittelwert bei Gesunden liegt näher bei 1 mm als bei 2 (Källestål &amp; Matsson 1989, gelesen).</translation>
    </message>
    <message>
        <source>Angle between the coronal canal&apos;s axis and the line from where the canal leaves it to the foramen.</source>
        <translation>Winkel zwischen der Achse des koronalen Kanals und der Linie von dort, wo der Kanal sie verlässt, zum Foramen.</translation>
    </message>
    <message>
        <source>Schneider 1971 (read). A film shows one plane only.</source>
        <translation>Schneider 1971 (gelesen). Eine Aufnahme zeigt nur eine Ebene.</translation>
    </message>
    <message>
        <source>Angle of the arc that follows the straight part.</source>
        <translation>Winkel des Bogens, der auf den geraden Teil folgt.</translation>
    </message>
    <message>
        <source>Pruett 1997 (geometry from memory).</source>
        <translation>Pruett 1997 (Geometrie aus dem Gedächtnis).</translation>
    </message>
    <message>
        <source>Radius of the arc that follows the straight part.</source>
        <translation>Radius des Bogens, der auf den geraden Teil folgt.</translation>
    </message>
    <message>
        <source>From the root face to where the canal begins to bend: a post does not.</source>
        <translation>Vom Kanaleingang bis dort, wo der Kanal sich zu biegen beginnt: ein Stift biegt sich nicht.</translation>
    </message>
    <message>
        <source>Exact mathematics on the canal line.</source>
        <translation>Exakte Mathematik an der Kanallinie.</translation>
    </message>
    <message>
        <source>Between the root&apos;s walls, across the axis.</source>
        <translation>Zwischen den Wänden der Wurzel, quer zur Achse.</translation>
    </message>
    <message>
        <source>Between the canal&apos;s walls, across the axis.</source>
        <translation>Zwischen den Wänden des Kanals, quer zur Achse.</translation>
    </message>
    <message>
        <source>From the canal&apos;s wall to the root&apos;s wall, mesially.</source>
        <translation>Von der Kanalwand bis zur Wurzelwand, mesial.</translation>
    </message>
    <message>
        <source>1 mm is to stay beside a post (McLean 1998, read); 1.75 strict (memory).</source>
        <translation>Neben einem Stift soll 1 mm bleiben (McLean 1998, gelesen); 1,75 streng (aus dem Gedächtnis).</translation>
    </message>
    <message>
        <source>From the canal&apos;s wall to the root&apos;s wall, distally.</source>
        <translation>Von der Kanalwand bis zur Wurzelwand, distal.</translation>
    </message>
    <message>
        <source>A post is straight, so it ends where the canal begins to bend. Exact mathematics on the canal line.</source>
        <translation>Ein Stift ist gerade und endet daher, wo der Kanal sich zu biegen beginnt. Exakte Mathematik an der Kanallinie.</translation>
    </message>
    <message>
        <source>Changed by your practice; as shipped: {0}.</source>
        <translation>Von Ihrer Praxis geändert; wie geliefert: {0}.</translation>
    </message>
</context>
<context>
    <name>FilmStrip</name>
    <message>
        <source>Films by visit</source>
        <translation>Aufnahmen nach Sitzung</translation>
    </message>
    <message>
        <source>Ctrl and click shows it beside</source>
        <translation>Strg und Klick zeigt ihn daneben</translation>
    </message>
</context>
<context>
    <name>Help</name>
    <message>
        <source>Click</source>
        <translation>Klick</translation>
    </message>
    <message>
        <source>places what is asked for</source>
        <translation>setzt, was verlangt ist</translation>
    </message>
    <message>
        <source>Drag a mark</source>
        <translation>Markierung ziehen</translation>
    </message>
    <message>
        <source>moves it; with Shift at a fifth of the speed</source>
        <translation>verschiebt sie; mit Umschalt mit einem Fünftel der Geschwindigkeit</translation>
    </message>
    <message>
        <source>Drag a selected line</source>
        <translation>Ausgewählte Linie ziehen</translation>
    </message>
    <message>
        <source>pulls it there; with Alt one point alone</source>
        <translation>zieht sie dorthin; mit Alt nur einen Punkt</translation>
    </message>
    <message>
        <source>Wheel</source>
        <translation>Mausrad</translation>
    </message>
    <message>
        <source>zooms about the pointer</source>
        <translation>vergrößert um den Mauszeiger</translation>
    </message>
    <message>
        <source>Right drag</source>
        <translation>Rechts ziehen</translation>
    </message>
    <message>
        <source>sideways contrast, up and down brightness</source>
        <translation>seitlich Kontrast, auf und ab Helligkeit</translation>
    </message>
    <message>
        <source>Middle drag, Space and drag</source>
        <translation>Mitte ziehen, Leertaste und ziehen</translation>
    </message>
    <message>
        <source>moves the film</source>
        <translation>bewegt die Aufnahme</translation>
    </message>
    <message>
        <source>Arrows</source>
        <translation>Pfeiltasten</translation>
    </message>
    <message>
        <source>move the mark, or the cross, by 1 px</source>
        <translation>bewegen die Markierung oder das Kreuz um 1 px</translation>
    </message>
    <message>
        <source>Ctrl and arrows</source>
        <translation>Strg und Pfeiltasten</translation>
    </message>
    <message>
        <source>by 0.1 px</source>
        <translation>um 0,1 px</translation>
    </message>
    <message>
        <source>Shift and arrows</source>
        <translation>Umschalt und Pfeiltasten</translation>
    </message>
    <message>
        <source>by 10 px</source>
        <translation>um 10 px</translation>
    </message>
    <message>
        <source>Ctrl, Shift and arrows</source>
        <translation>Strg, Umschalt und Pfeiltasten</translation>
    </message>
    <message>
        <source>by 50 px</source>
        <translation>um 50 px</translation>
    </message>
    <message>
        <source>Digits</source>
        <translation>Ziffern</translation>
    </message>
    <message>
        <source>begin what is asked for</source>
        <translation>beginnen, was verlangt ist</translation>
    </message>
    <message>
        <source>Tab, Shift+Tab</source>
        <translation>Tab, Umschalt+Tab</translation>
    </message>
    <message>
        <source>go on to the next part of the window</source>
        <translation>weiter zum nächsten Teil des Fensters</translation>
    </message>
    <message>
        <source>On the level chart</source>
        <translation>Im Höhendiagramm</translation>
    </message>
    <message>
        <source>Space picks depth, seal, size or gain; arrows change it</source>
        <translation>Leertaste wählt Tiefe, Verschluss, Größe oder Zugewinn; Pfeiltasten ändern sie</translation>
    </message>
</context>
<context>
    <name>HelpCommands</name>
    <message>
        <source>This installation has no sample films.</source>
        <translation>Diese Installation hat keine Musteraufnahmen.</translation>
    </message>
</context>
<context>
    <name>HelpLeaf</name>
    <message>
        <source>Keys</source>
        <translation>Tasten</translation>
    </message>
    <message>
        <source>Cautions</source>
        <translation>Hinweise</translation>
    </message>
    <message>
        <source>Readings</source>
        <translation>Messwerte</translation>
    </message>
    <message>
        <source>Rules</source>
        <translation>Regeln</translation>
    </message>
    <message>
        <source>About</source>
        <translation>Über</translation>
    </message>
    <message>
        <source>On the film</source>
        <translation>Auf der Aufnahme</translation>
    </message>
    <message>
        <source>Mouse</source>
        <translation>Maus</translation>
    </message>
    <message>
        <source>Before you rely on a number</source>
        <translation>Bevor Sie sich auf eine Zahl verlassen</translation>
    </message>
    <message>
        <source>Understood</source>
        <translation>Verstanden</translation>
    </message>
    <message>
        <source>The rulebook is being read.</source>
        <translation>Das Regelwerk wird gelesen.</translation>
    </message>
    <message>
        <source>What each reading is</source>
        <translation>Was jeder Messwert ist</translation>
    </message>
    <message>
        <source>Rulebook {0}</source>
        <translation>Regelwerk {0}</translation>
    </message>
    <message>
        <source>Post, ferrule and classes</source>
        <translation>Stift, Fassreifen und Klassen</translation>
    </message>
    <message>
        <source>Uncertainties and other figures</source>
        <translation>Unsicherheiten und andere Werte</translation>
    </message>
    <message>
        <source>As shipped. Entries of a file {0} would stand in place of these.</source>
        <translation>Wie geliefert. Einträge einer Datei {0} träten an ihre Stelle.</translation>
    </message>
    <message>
        <source>Changed by your practice in {0}:</source>
        <translation>Von Ihrer Praxis in {0} geändert:</translation>
    </message>
    <message>
        <source>{name}: {own}, as shipped {shipped}</source>
        <translation>{name}: {own}, wie geliefert {shipped}</translation>
    </message>
    <message>
        <source>No source was given for the change.</source>
        <translation>Für die Änderung ist keine Quelle angegeben.</translation>
    </message>
    <message>
        <source>Version {0}</source>
        <translation>Version {0}</translation>
    </message>
    <message>
        <source>Measures periapical films and helps plan post, core and crown for root-filled teeth. It supports, and never replaces, the judgement of a licensed clinician.</source>
        <translation>Vermisst Zahnfilme und hilft, Stift, Aufbau und Krone für wurzelgefüllte Zähne zu planen. Es unterstützt das Urteil approbierter Behandelnder und ersetzt es nie.</translation>
    </message>
    <message>
        <source>MIT licence. No data leaves this computer unless you send it.</source>
        <translation>MIT-Lizenz. Keine Daten verlassen diesen Rechner, wenn Sie sie nicht senden.</translation>
    </message>
</context>
<context>
    <name>HistoryLeaf</name>
    <message>
        <source>All changes</source>
        <translation>Alle Änderungen</translation>
    </message>
    <message numerus="yes">
        <source>%n older change(s) are in the file.</source>
        <translation>
            <numerusform>%n ältere Änderung steht in der Datei.</numerusform>
            <numerusform>%n ältere Änderungen stehen in der Datei.</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>JobStrip</name>
    <message>
        <source>Jobs</source>
        <translation>Aufgaben</translation>
    </message>
    <message>
        <source>tooth {number}</source>
        <translation>Zahn {number}</translation>
    </message>
    <message>
        <source>New case</source>
        <translation>Neuer Fall</translation>
    </message>
    <message>
        <source>Case without a name</source>
        <translation>Fall ohne Namen</translation>
    </message>
    <message>
        <source>for reading only</source>
        <translation>nur zum Lesen</translation>
    </message>
</context>
<context>
    <name>Jobs</name>
    <message>
        <source>Length check</source>
        <translation>Längenmessung</translation>
    </message>
    <message>
        <source>How far the file reaches, and the working length</source>
        <translation>Wie weit die Feile reicht, und die Arbeitslänge</translation>
    </message>
    <message>
        <source>Filling check</source>
        <translation>Füllungskontrolle</translation>
    </message>
    <message>
        <source>Where the root filling ends, and what lies at the apex</source>
        <translation>Wo die Wurzelkanalfüllung endet und was am Apex liegt</translation>
    </message>
    <message>
        <source>Post plan</source>
        <translation>Stiftplanung</translation>
    </message>
    <message>
        <source>How deep and how wide a post may go, and what carries it</source>
        <translation>Wie tief und wie breit ein Stift sein darf und was ihn trägt</translation>
    </message>
    <message>
        <source>Space check</source>
        <translation>Stiftbettkontrolle</translation>
    </message>
    <message>
        <source>How much filling is left once the post&apos;s room is made</source>
        <translation>Wie viel Wurzelkanalfüllung bleibt, nachdem das Stiftbett angelegt ist</translation>
    </message>
    <message>
        <source>Post check</source>
        <translation>Stiftkontrolle</translation>
    </message>
    <message>
        <source>Whether the post went where it was planned</source>
        <translation>Ob der Stift dort sitzt, wo er geplant war</translation>
    </message>
    <message>
        <source>Recall</source>
        <translation>Nachkontrolle</translation>
    </message>
    <message>
        <source>What has changed since an earlier film</source>
        <translation>Was sich seit einer früheren Aufnahme geändert hat</translation>
    </message>
</context>
<context>
    <name>LandmarkModel</name>
    <message>
        <source>Landmark</source>
        <translation>Messpunkt</translation>
    </message>
    <message>
        <source>State</source>
        <translation>Stand</translation>
    </message>
    <message>
        <source>± px</source>
        <translation>± px</translation>
    </message>
    <message>
        <source>none</source>
        <translation>keine</translation>
    </message>
    <message numerus="yes">
        <source>%n point(s)</source>
        <translation>
            <numerusform>%n Punkt</numerusform>
            <numerusform>%n Punkte</numerusform>
        </translation>
    </message>
    <message>
        <source>placed</source>
        <translation>gesetzt</translation>
    </message>
    <message>
        <source>suggested</source>
        <translation>vorgeschlagen</translation>
    </message>
    <message>
        <source>open</source>
        <translation>offen</translation>
    </message>
</context>
<context>
    <name>LandmarkTable</name>
    <message>
        <source>Landmarks</source>
        <translation>Messpunkte</translation>
    </message>
</context>
<context>
    <name>Leaves</name>
    <message>
        <source>Cases</source>
        <translation>Fälle</translation>
    </message>
    <message>
        <source>Changes</source>
        <translation>Änderungen</translation>
    </message>
    <message>
        <source>Entries</source>
        <translation>Eingaben</translation>
    </message>
    <message>
        <source>Help</source>
        <translation>Hilfe</translation>
    </message>
    <message>
        <source>History</source>
        <translation>Verlauf</translation>
    </message>
    <message>
        <source>Record</source>
        <translation>Bericht</translation>
    </message>
    <message>
        <source>Worksheet</source>
        <translation>Entscheidung</translation>
    </message>
    <message>
        <source>Gain</source>
        <translation>Gewinn</translation>
    </message>
    <message>
        <source>Landmarks</source>
        <translation>Messpunkte</translation>
    </message>
    <message>
        <source>Truth</source>
        <translation>Wahrheit</translation>
    </message>
    <message>
        <source>Synthetic film</source>
        <translation>Synthetisch</translation>
    </message>
    <message>
        <source>Pages</source>
        <translation>Seiten</translation>
    </message>
</context>
<context>
    <name>LevelChart</name>
    <message>
        <source>Level chart</source>
        <translation>Höhendiagramm</translation>
    </message>
    <message>
        <source>Depth of the post</source>
        <translation>Tiefe des Stifts</translation>
    </message>
    <message>
        <source>Filling kept below it</source>
        <translation>Darunter verbleibende Wurzelkanalfüllung</translation>
    </message>
    <message>
        <source>Size of the post</source>
        <translation>Größe des Stifts</translation>
    </message>
    <message>
        <source>Tooth gained</source>
        <translation>Gewonnene Zahnsubstanz</translation>
    </message>
</context>
<context>
    <name>LevelPanel</name>
    <message>
        <source>Root shown</source>
        <translation>Gezeigte Wurzel</translation>
    </message>
</context>
<context>
    <name>Marks</name>
    <message>
        <source>reference</source>
        <translation>Referenz</translation>
    </message>
    <message>
        <source>CEJ m</source>
        <translation>SZG m</translation>
    </message>
    <message>
        <source>CEJ d</source>
        <translation>SZG d</translation>
    </message>
    <message>
        <source>crest m</source>
        <translation>Kamm m</translation>
    </message>
    <message>
        <source>crest d</source>
        <translation>Kamm d</translation>
    </message>
    <message>
        <source>margin m</source>
        <translation>Rand m</translation>
    </message>
    <message>
        <source>margin d</source>
        <translation>Rand d</translation>
    </message>
    <message>
        <source>apex</source>
        <translation>Apex</translation>
    </message>
    <message>
        <source>foramen</source>
        <translation>Foramen</translation>
    </message>
    <message>
        <source>root face</source>
        <translation>Kanaleingang</translation>
    </message>
    <message>
        <source>stop</source>
        <translation>Stopp</translation>
    </message>
    <message>
        <source>tip</source>
        <translation>Spitze</translation>
    </message>
    <message>
        <source>filling top</source>
        <translation>WF-Beginn</translation>
    </message>
    <message>
        <source>filling end</source>
        <translation>WF-Ende</translation>
    </message>
    <message>
        <source>post top</source>
        <translation>Stiftbeginn</translation>
    </message>
    <message>
        <source>post end</source>
        <translation>Stiftende</translation>
    </message>
    <message>
        <source>canal</source>
        <translation>Kanal</translation>
    </message>
    <message>
        <source>root wall m</source>
        <translation>Wurzelwand m</translation>
    </message>
    <message>
        <source>root wall d</source>
        <translation>Wurzelwand d</translation>
    </message>
    <message>
        <source>canal wall m</source>
        <translation>Kanalwand m</translation>
    </message>
    <message>
        <source>canal wall d</source>
        <translation>Kanalwand d</translation>
    </message>
    <message>
        <source>radiolucency</source>
        <translation>Aufhellung</translation>
    </message>
    <message>
        <source>scale</source>
        <translation>Maßstab</translation>
    </message>
</context>
<context>
    <name>MaskView</name>
    <message>
        <source>Film, to draw boxes over burned-in text</source>
        <translation>Aufnahme, um Kästen über eingebrannten Text zu ziehen</translation>
    </message>
</context>
<context>
    <name>Next</name>
    <message>
        <source>“{text}” is not a number</source>
        <translation>„{text}“ ist keine Zahl</translation>
    </message>
    <message>
        <source>type digits, with a point or comma</source>
        <translation>Ziffern eingeben, mit Punkt oder Komma</translation>
    </message>
    <message>
        <source>{value} µm is no receptor&apos;s pixel size</source>
        <translation>{value} µm ist keine Pixelgröße eines Bildempfängers</translation>
    </message>
    <message>
        <source>give {low} to {high} µm, or click a ball on the film first</source>
        <translation>{low} bis {high} µm angeben oder zuerst eine Kugel auf der Aufnahme anklicken</translation>
    </message>
    <message>
        <source>mark the {edge} that lengths are measured from</source>
        <translation>{edge} markieren, von der aus die Längen gemessen werden</translation>
    </message>
    <message>
        <source>mark the mesial CEJ, on the {side}</source>
        <translation>mesiale SZG markieren, {side}</translation>
    </message>
    <message>
        <source>mark the distal CEJ, on the {side}</source>
        <translation>distale SZG markieren, {side}</translation>
    </message>
    <message>
        <source>mark the bone crest on the mesial side ({side})</source>
        <translation>Alveolarkamm auf der mesialen Seite markieren ({side})</translation>
    </message>
    <message>
        <source>mark the bone crest on the distal side ({side})</source>
        <translation>Alveolarkamm auf der distalen Seite markieren ({side})</translation>
    </message>
    <message>
        <source>mark where sound tooth ends on the mesial side ({side})</source>
        <translation>Ende der gesunden Zahnsubstanz mesial markieren ({side})</translation>
    </message>
    <message>
        <source>mark where sound tooth ends on the distal side ({side})</source>
        <translation>Ende der gesunden Zahnsubstanz distal markieren ({side})</translation>
    </message>
    <message>
        <source>mark the apex{of_root}</source>
        <translation>Apex markieren{of_root}</translation>
    </message>
    <message>
        <source>mark the foramen{of_root}</source>
        <translation>Foramen markieren{of_root}</translation>
    </message>
    <message>
        <source>mark where the canal begins at the root face{of_root}</source>
        <translation>Kanaleingang markieren, wo der Kanal beginnt{of_root}</translation>
    </message>
    <message>
        <source>mark the edge of the file&apos;s stop{of_root}</source>
        <translation>Kante des Feilenstopps markieren{of_root}</translation>
    </message>
    <message>
        <source>mark the tip of the file{of_root}</source>
        <translation>Spitze der Feile markieren{of_root}</translation>
    </message>
    <message>
        <source>mark the coronal end of the filling{of_root}</source>
        <translation>koronales Ende der Wurzelkanalfüllung markieren{of_root}</translation>
    </message>
    <message>
        <source>mark the apical end of the filling{of_root}</source>
        <translation>apikales Ende der Wurzelkanalfüllung markieren{of_root}</translation>
    </message>
    <message>
        <source>mark the coronal end of the post{of_root}</source>
        <translation>koronales Ende des Stifts markieren{of_root}</translation>
    </message>
    <message>
        <source>mark the apical end of the post{of_root}</source>
        <translation>apikales Ende des Stifts markieren{of_root}</translation>
    </message>
    <message>
        <source>draw the canal from the root face to the apex{of_root}</source>
        <translation>Kanal vom Kanaleingang bis zum Apex zeichnen{of_root}</translation>
    </message>
    <message>
        <source>draw the mesial wall of the root, towards the apex{of_root}</source>
        <translation>mesiale Wand der Wurzel zeichnen, zum Apex hin{of_root}</translation>
    </message>
    <message>
        <source>draw the distal wall of the root, towards the apex{of_root}</source>
        <translation>distale Wand der Wurzel zeichnen, zum Apex hin{of_root}</translation>
    </message>
    <message>
        <source>draw the mesial wall of the canal, towards the apex{of_root}</source>
        <translation>mesiale Wand des Kanals zeichnen, zum Apex hin{of_root}</translation>
    </message>
    <message>
        <source>draw the distal wall of the canal, towards the apex{of_root}</source>
        <translation>distale Wand des Kanals zeichnen, zum Apex hin{of_root}</translation>
    </message>
    <message>
        <source>is there a radiolucency{of_root}? drag across it</source>
        <translation>ist da eine Aufhellung{of_root}? darüber ziehen</translation>
    </message>
    <message>
        <source>which tooth is it?</source>
        <translation>welcher Zahn ist es?</translation>
    </message>
    <message>
        <source>how long is the file, from tip to stop?</source>
        <translation>wie lang ist die Feile, von der Spitze bis zum Stopp?</translation>
    </message>
    <message>
        <source>how high will the crown be?</source>
        <translation>wie hoch wird die Krone?</translation>
    </message>
    <message>
        <source>how far short of the apex is the working length to end?</source>
        <translation>wie weit vor dem Apex soll die Arbeitslänge enden?</translation>
    </message>
    <message>
        <source>how old is the patient?</source>
        <translation>wie alt ist die Patientin oder der Patient?</translation>
    </message>
    <message>
        <source>how many cusps are lost?</source>
        <translation>wie viele Höcker fehlen?</translation>
    </message>
    <message>
        <source>how many walls are left?</source>
        <translation>wie viele Wände sind übrig?</translation>
    </message>
    <message>
        <source>how was the film taken?</source>
        <translation>wie wurde die Aufnahme gemacht?</translation>
    </message>
    <message>
        <source>how wide is this ball?</source>
        <translation>wie breit ist diese Kugel?</translation>
    </message>
    <message>
        <source>how long is this wire?</source>
        <translation>wie lang ist dieser Draht?</translation>
    </message>
    <message>
        <source>how long is this file, from stop to tip?</source>
        <translation>wie lang ist diese Feile, vom Stopp bis zur Spitze?</translation>
    </message>
    <message>
        <source>how long is what you drew along?</source>
        <translation>wie lang ist das, woran Sie entlanggezogen haben?</translation>
    </message>
    <message>
        <source>Paralleling</source>
        <translation>Paralleltechnik</translation>
    </message>
    <message>
        <source>Bisecting</source>
        <translation>Halbwinkeltechnik</translation>
    </message>
    <message>
        <source>all that “{job}” asks for is there</source>
        <translation>alles, was „{job}“ verlangt, ist da</translation>
    </message>
    <message>
        <source>open a film</source>
        <translation>eine Aufnahme öffnen</translation>
    </message>
    <message>
        <source>which root?</source>
        <translation>welche Wurzel?</translation>
    </message>
    <message>
        <source>is this reference object right?</source>
        <translation>stimmt dieser Referenzkörper?</translation>
    </message>
    <message>
        <source>something of known size, or the receptor&apos;s pixel size</source>
        <translation>etwas bekannter Größe oder die Pixelgröße des Bildempfängers</translation>
    </message>
    <message>
        <source>is this the {landmark}?</source>
        <translation>stimmt diese Stelle ({landmark})?</translation>
    </message>
    <message>
        <source>incisal edge</source>
        <translation>Schneidekante</translation>
    </message>
    <message>
        <source>cusp tip</source>
        <translation>Höckerspitze</translation>
    </message>
    <message>
        <source>right</source>
        <translation>rechts</translation>
    </message>
    <message>
        <source>left</source>
        <translation>links</translation>
    </message>
    <message>
        <source> of the {root}</source>
        <translation> ({root})</translation>
    </message>
    <message>
        <source>Ctrl+O, or drop it on the window</source>
        <translation>Strg+O, oder auf das Fenster ziehen</translation>
    </message>
    <message>
        <source>two digits by ISO 3950, then Enter</source>
        <translation>zwei Ziffern nach ISO 3950, dann Eingabe</translation>
    </message>
    <message>
        <source>press its number</source>
        <translation>ihre Nummer drücken</translation>
    </message>
    <message>
        <source>type it, then Enter · or click another object</source>
        <translation>eingeben, dann Eingabe · oder einen anderen Gegenstand anklicken</translation>
    </message>
    <message>
        <source>click a ball · drag along a file or wire · or type µm · Backspace skips</source>
        <translation>Kugel anklicken · an Feile oder Draht entlangziehen · oder µm eingeben · Rücktaste überspringt</translation>
    </message>
    <message>
        <source>press its number · Backspace skips</source>
        <translation>ihre Nummer drücken · Rücktaste überspringt</translation>
    </message>
    <message>
        <source>type it, then Enter · Backspace skips</source>
        <translation>eingeben, dann Eingabe · Rücktaste überspringt</translation>
    </message>
    <message>
        <source>click, or arrows and Enter</source>
        <translation>klicken, oder Pfeiltasten und Eingabe</translation>
    </message>
    <message>
        <source>click</source>
        <translation>klicken</translation>
    </message>
    <message>
        <source>arrows move the last mark</source>
        <translation>Pfeiltasten bewegen die letzte Markierung</translation>
    </message>
    <message>
        <source>click point by point</source>
        <translation>Punkt für Punkt klicken</translation>
    </message>
    <message>
        <source>click on</source>
        <translation>weiterklicken</translation>
    </message>
    <message>
        <source>drag from edge to edge</source>
        <translation>von Rand zu Rand ziehen</translation>
    </message>
    <message>
        <source>or click round it</source>
        <translation>oder rundherum klicken</translation>
    </message>
    <message>
        <source>Enter ends it</source>
        <translation>Eingabe beendet sie</translation>
    </message>
    <message>
        <source>Backspace takes a point back</source>
        <translation>Rücktaste nimmt einen Punkt zurück</translation>
    </message>
    <message>
        <source>arrows move it</source>
        <translation>Pfeiltasten bewegen sie</translation>
    </message>
    <message>
        <source>Enter keeps</source>
        <translation>Eingabe behält</translation>
    </message>
    <message>
        <source>Ctrl+Enter keeps all</source>
        <translation>Strg+Eingabe behält alle</translation>
    </message>
    <message>
        <source>Delete turns it down</source>
        <translation>Entf lehnt ab</translation>
    </message>
    <message>
        <source>Backspace skips</source>
        <translation>Rücktaste überspringt</translation>
    </message>
    <message>
        <source>Ctrl+R writes the record</source>
        <translation>Strg+R schreibt den Bericht</translation>
    </message>
    <message>
        <source>Ctrl+1 to 6 take up another job</source>
        <translation>Strg+1 bis 6 für eine andere Aufgabe</translation>
    </message>
    <message>
        <source>tooth {0}</source>
        <translation>Zahn {0}</translation>
    </message>
    <message>
        <source>all of them</source>
        <translation>alle</translation>
    </message>
    <message>
        <source>It is the receptor&apos;s pitch</source>
        <translation>Es ist der Pixelabstand des Bildempfängers</translation>
    </message>
    <message>
        <source>It is corrected to the tooth</source>
        <translation>Er ist auf den Zahn korrigiert</translation>
    </message>
    <message>
        <source>Correct by the stated magnification, {0}</source>
        <translation>Mit der genannten Vergrößerung {0} korrigieren</translation>
    </message>
</context>
<context>
    <name>NextLine</name>
    <message>
        <source>Next:</source>
        <translation>Als Nächstes:</translation>
    </message>
</context>
<context>
    <name>Notice</name>
    <message>
        <source>Close</source>
        <translation>Schließen</translation>
    </message>
</context>
<context>
    <name>Opening</name>
    <message>
        <source>Case made anew from its structured report</source>
        <translation>Fall aus seinem strukturierten Bericht neu erstellt</translation>
    </message>
    <message>
        <source>the file names tooth {0}: taken up, Ctrl+T names another</source>
        <translation>die Datei nennt Zahn {0}: übernommen, Strg+T nennt einen anderen</translation>
    </message>
    <message>
        <source>a magnification of {0} is stated, not applied: Entries offers it</source>
        <translation>eine Vergrößerung von {0} ist genannt, aber nicht angewandt: unter Eingaben steht sie bereit</translation>
    </message>
</context>
<context>
    <name>RecordCard</name>
    <message>
        <source>Record</source>
        <translation>Bericht</translation>
    </message>
    <message>
        <source>No numbers: {0}</source>
        <translation>Keine Zahlen: {0}</translation>
    </message>
    <message>
        <source>No film is open.</source>
        <translation>Keine Aufnahme ist geöffnet.</translation>
    </message>
    <message>
        <source>The record begins with the tooth.</source>
        <translation>Der Bericht beginnt mit dem Zahn.</translation>
    </message>
    <message>
        <source>The record begins with the first landmark.</source>
        <translation>Der Bericht beginnt mit dem ersten Messpunkt.</translation>
    </message>
    <message>
        <source>place</source>
        <translation>setzen</translation>
    </message>
    <message>
        <source>less</source>
        <translation>weniger</translation>
    </message>
    <message>
        <source>why</source>
        <translation>warum</translation>
    </message>
</context>
<context>
    <name>Referencing</name>
    <message>
        <source>Nothing round or straight is there.</source>
        <translation>Dort ist nichts Rundes oder Gerades.</translation>
    </message>
    <message>
        <source>{0} Drag along something of known length instead.</source>
        <translation>{0} Ziehen Sie stattdessen an etwas bekannter Länge entlang.</translation>
    </message>
</context>
<context>
    <name>Roles</name>
    <message>
        <source>before treatment</source>
        <translation>vor der Behandlung</translation>
    </message>
    <message>
        <source>length check</source>
        <translation>Längenmessung</translation>
    </message>
    <message>
        <source>filling check</source>
        <translation>Füllungskontrolle</translation>
    </message>
    <message>
        <source>post space check</source>
        <translation>Stiftbettkontrolle</translation>
    </message>
    <message>
        <source>post check</source>
        <translation>Stiftkontrolle</translation>
    </message>
    <message>
        <source>recall</source>
        <translation>Nachkontrolle</translation>
    </message>
    <message>
        <source>other</source>
        <translation>sonstige</translation>
    </message>
</context>
<context>
    <name>SecondWindow</name>
    <message>
        <source>The case is free now: Case, Take the case over lets you change it here.</source>
        <translation>Der Fall ist jetzt frei: mit Fall, Fall übernehmen lässt er sich hier ändern.</translation>
    </message>
</context>
<context>
    <name>ShareCommands</name>
    <message>
        <source>Folder for the DICOM objects</source>
        <translation>Ordner für die DICOM-Objekte</translation>
    </message>
    <message>
        <source>DICOM objects written: {0}</source>
        <translation>DICOM-Objekte geschrieben: {0}</translation>
    </message>
</context>
<context>
    <name>Spoken</name>
    <message>
        <source>marks placed: {0}</source>
        <translation>gesetzte Messpunkte: {0}</translation>
    </message>
    <message>
        <source>suggested: {0}</source>
        <translation>vorgeschlagen: {0}</translation>
    </message>
    <message>
        <source>selected: {0}</source>
        <translation>gewählt: {0}</translation>
    </message>
    <message>
        <source>Ctrl+M lists the landmarks as a table</source>
        <translation>Strg+M führt die Messpunkte als Tabelle auf</translation>
    </message>
</context>
<context>
    <name>Suggesting</name>
    <message>
        <source>Suggestions begin with the coronal reference and the apex of each root.</source>
        <translation>Vorschläge beginnen mit dem koronalen Referenzpunkt und dem Apex jeder Wurzel.</translation>
    </message>
    <message>
        <source>Nothing could be suggested on this film.</source>
        <translation>Auf dieser Aufnahme ließ sich nichts vorschlagen.</translation>
    </message>
</context>
<context>
    <name>Surer</name>
    <message>
        <source>Look at that mark again at a larger size, with the greys for what is in sight; where the film is sharp, say how sure you are under Landmarks.</source>
        <translation>Sehen Sie diese Markierung noch einmal größer an, mit den Grauwerten für den sichtbaren Teil; wo die Aufnahme scharf ist, geben Sie unter Messpunkte an, wie sicher Sie sind.</translation>
    </message>
    <message>
        <source>Something of known length along the tooth, such as the file in the canal, tells how far the film shortens; entering the technique helps where there is none.</source>
        <translation>Etwas bekannter Länge entlang des Zahns, etwa die Feile im Kanal, zeigt, wie weit die Aufnahme verkürzt; wo es das nicht gibt, hilft die Angabe der Technik.</translation>
    </message>
    <message>
        <source>The object that gives the scale: measure it with a gauge, enter its size with its uncertainty, place its ends or rim again, and on the next film lay it beside the tooth.</source>
        <translation>Der Gegenstand, der den Maßstab gibt: messen Sie ihn mit einer Lehre, tragen Sie seine Größe mit ihrer Unsicherheit ein, setzen Sie seine Enden oder seinen Rand neu, und legen Sie ihn bei der nächsten Aufnahme neben den Zahn.</translation>
    </message>
    <message>
        <source>A ball, wire or file on the film tells the magnification that is only assumed now; entering the technique narrows how it changes along the tooth.</source>
        <translation>Eine Kugel, ein Draht oder eine Feile auf der Aufnahme zeigt die Vergrößerung, die jetzt nur angenommen ist; die Angabe der Technik grenzt ein, wie sie sich entlang des Zahns ändert.</translation>
    </message>
    <message>
        <source>Trace the canal again, with points close together where it leaves its straight part; a slight bend has no sure beginning.</source>
        <translation>Zeichnen Sie den Kanal noch einmal, mit dichten Punkten dort, wo er seinen geraden Teil verlässt; eine leichte Krümmung hat keinen sicheren Beginn.</translation>
    </message>
    <message>
        <source>A flat film does not show it, and no mark changes it. A film from another angle does, when one is taken for another reason.</source>
        <translation>Eine flache Aufnahme zeigt es nicht, und keine Markierung ändert das. Eine Aufnahme aus anderem Winkel zeigt es, wenn sie aus einem anderen Grund gemacht wird.</translation>
    </message>
    <message>
        <source>It follows from how the value is worked out; no mark on this film changes it.</source>
        <translation>Es folgt daraus, wie der Wert berechnet wird; keine Markierung auf dieser Aufnahme ändert das.</translation>
    </message>
    <message>
        <source>placing {0}</source>
        <translation>Setzen: {0}</translation>
    </message>
    <message>
        <source>Uncertainty from {0}.</source>
        <translation>Unsicherheit aus: {0}.</translation>
    </message>
    <message>
        <source>Surer: {0}</source>
        <translation>Sicherer: {0}</translation>
    </message>
</context>
<context>
    <name>SynthLeaf</name>
    <message>
        <source>New synthetic film</source>
        <translation>Neue synthetische Aufnahme</translation>
    </message>
    <message>
        <source>An invented tooth, for teaching only. What is true of it stays hidden until you ask for it.</source>
        <translation>Ein erfundener Zahn, nur zum Lehren. Was an ihm wahr ist, bleibt verborgen, bis Sie danach fragen.</translation>
    </message>
    <message>
        <source>Draw a plausible case</source>
        <translation>Plausiblen Fall auslosen</translation>
    </message>
    <message>
        <source>Load recipe …</source>
        <translation>Rezept laden …</translation>
    </message>
    <message>
        <source>Save recipe …</source>
        <translation>Rezept speichern …</translation>
    </message>
    <message>
        <source>Film of the recipe</source>
        <translation>Aufnahme des Rezepts</translation>
    </message>
    <message>
        <source>In a new case</source>
        <translation>In einem neuen Fall</translation>
    </message>
    <message>
        <source>Jaw</source>
        <translation>Kiefer</translation>
    </message>
    <message>
        <source>Side</source>
        <translation>Seite</translation>
    </message>
    <message>
        <source>Tooth</source>
        <translation>Zahn</translation>
    </message>
    <message>
        <source>upper</source>
        <translation>oben</translation>
    </message>
    <message>
        <source>lower</source>
        <translation>unten</translation>
    </message>
    <message>
        <source>right</source>
        <translation>rechts</translation>
    </message>
    <message>
        <source>left</source>
        <translation>links</translation>
    </message>
    <message>
        <source>Seed</source>
        <translation>Startwert</translation>
    </message>
    <message>
        <source>Seed of bone and noise</source>
        <translation>Startwert Knochen, Rauschen</translation>
    </message>
    <message>
        <source>Make the film</source>
        <translation>Aufnahme erstellen</translation>
    </message>
    <message>
        <source>Cancel</source>
        <translation>Abbrechen</translation>
    </message>
    <message>
        <source>Share of the film that is drawn</source>
        <translation>Gezeichneter Anteil der Aufnahme</translation>
    </message>
    <message>
        <source>Also in the recipe: {0}</source>
        <translation>Außerdem im Rezept: {0}</translation>
    </message>
    <message>
        <source>Recipe saved: {0}</source>
        <translation>Rezept gespeichert: {0}</translation>
    </message>
    <message>
        <source>Load a recipe</source>
        <translation>Rezept laden</translation>
    </message>
    <message>
        <source>Recipes</source>
        <translation>Rezepte</translation>
    </message>
    <message>
        <source>All files</source>
        <translation>Alle Dateien</translation>
    </message>
    <message>
        <source>Save the recipe</source>
        <translation>Rezept speichern</translation>
    </message>
</context>
<context>
    <name>Synthesising</name>
    <message>
        <source>No film was made.</source>
        <translation>Es wurde keine Aufnahme erstellt.</translation>
    </message>
</context>
<context>
    <name>Synthetic</name>
    <message>
        <source>View</source>
        <translation>Ansicht</translation>
    </message>
    <message>
        <source>Technique</source>
        <translation>Technik</translation>
    </message>
    <message>
        <source>Beam off, up and down</source>
        <translation>Strahlabweichung vertikal</translation>
    </message>
    <message>
        <source>Beam off, sideways</source>
        <translation>Strahlabweichung horizontal</translation>
    </message>
    <message>
        <source>Tooth and bone</source>
        <translation>Zahn und Knochen</translation>
    </message>
    <message>
        <source>Crown</source>
        <translation>Krone</translation>
    </message>
    <message>
        <source>Bone lost, mesial</source>
        <translation>Knochenabbau mesial</translation>
    </message>
    <message>
        <source>Bone lost, distal</source>
        <translation>Knochenabbau distal</translation>
    </message>
    <message>
        <source>Root filling</source>
        <translation>Wurzelkanalfüllung</translation>
    </message>
    <message>
        <source>Short of the apex by</source>
        <translation>Abstand vor dem Apex</translation>
    </message>
    <message>
        <source>Voids</source>
        <translation>Lücken</translation>
    </message>
    <message>
        <source>File in the canal</source>
        <translation>Feile im Kanal</translation>
    </message>
    <message>
        <source>Length, tip to stop</source>
        <translation>Länge, Spitze bis Stopp</translation>
    </message>
    <message>
        <source>Tip short of the apex by</source>
        <translation>Spitze vor dem Apex um</translation>
    </message>
    <message>
        <source>Size (ISO 3630-1)</source>
        <translation>Größe (ISO 3630-1)</translation>
    </message>
    <message>
        <source>Post</source>
        <translation>Stift</translation>
    </message>
    <message>
        <source>Depth below the root face</source>
        <translation>Tiefe ab Kanaleingang</translation>
    </message>
    <message>
        <source>Diameter</source>
        <translation>Durchmesser</translation>
    </message>
    <message>
        <source>Gap to the filling</source>
        <translation>Spalt zur Wurzelkanalfüllung</translation>
    </message>
    <message>
        <source>Material</source>
        <translation>Material</translation>
    </message>
    <message>
        <source>Radiolucency at the apex</source>
        <translation>Aufhellung am Apex</translation>
    </message>
    <message>
        <source>Steel ball</source>
        <translation>Stahlkugel</translation>
    </message>
    <message>
        <source>Receptor and dose</source>
        <translation>Bildempfänger und Dosis</translation>
    </message>
    <message>
        <source>Size (ISO 3665)</source>
        <translation>Größe (ISO 3665)</translation>
    </message>
    <message>
        <source>Pixel size</source>
        <translation>Pixelgröße</translation>
    </message>
    <message>
        <source>Dose at the receptor</source>
        <translation>Dosis am Bildempfänger</translation>
    </message>
    <message>
        <source>Noise of the receptor</source>
        <translation>Rauschen des Empfängers</translation>
    </message>
    <message>
        <source>paralleling</source>
        <translation>Paralleltechnik</translation>
    </message>
    <message>
        <source>bisecting</source>
        <translation>Halbwinkeltechnik</translation>
    </message>
    <message>
        <source>sound</source>
        <translation>gesund</translation>
    </message>
    <message>
        <source>opened</source>
        <translation>eröffnet</translation>
    </message>
    <message>
        <source>restored</source>
        <translation>restauriert</translation>
    </message>
    <message>
        <source>lost</source>
        <translation>verloren</translation>
    </message>
    <message>
        <source>fibre</source>
        <translation>Faser</translation>
    </message>
    <message>
        <source>titanium</source>
        <translation>Titan</translation>
    </message>
    <message>
        <source>steel</source>
        <translation>Stahl</translation>
    </message>
    <message>
        <source>{low} to {high} {unit}</source>
        <translation>{low} bis {high} {unit}</translation>
    </message>
    <message>
        <source>central incisor</source>
        <translation>mittl. Schneidezahn</translation>
    </message>
    <message>
        <source>lateral incisor</source>
        <translation>seitl. Schneidezahn</translation>
    </message>
    <message>
        <source>canine</source>
        <translation>Eckzahn</translation>
    </message>
    <message>
        <source>first premolar</source>
        <translation>erster Prämolar</translation>
    </message>
    <message>
        <source>second premolar</source>
        <translation>zweiter Prämolar</translation>
    </message>
    <message>
        <source>first molar</source>
        <translation>erster Molar</translation>
    </message>
    <message>
        <source>second molar</source>
        <translation>zweiter Molar</translation>
    </message>
    <message>
        <source>third molar</source>
        <translation>dritter Molar</translation>
    </message>
    <message>
        <source>the seed “{text}” is not a whole number</source>
        <translation>der Startwert „{text}“ ist keine ganze Zahl</translation>
    </message>
    <message>
        <source>give one from 0 up</source>
        <translation>eine ab 0 angeben</translation>
    </message>
</context>
<context>
    <name>TeachingCopy</name>
    <message>
        <source>Teaching copy</source>
        <translation>Lehrkopie</translation>
    </message>
    <message>
        <source>Names, numbers and dates of the files are left out by themselves. What is burned into a picture is not: look at every film.</source>
        <translation>Namen, Nummern und Daten der Dateien werden von selbst weggelassen. Was in ein Bild eingebrannt ist, nicht: sehen Sie jede Aufnahme an.</translation>
    </message>
    <message>
        <source>Drag a box over what must not be seen. N makes one by key, arrows move it, Shift and arrows size it, Delete takes it away. Wheel: larger; F: whole film.</source>
        <translation>Ziehen Sie einen Kasten über das, was nicht zu sehen sein darf. N erstellt einen mit der Tastatur, Pfeiltasten bewegen ihn, Umschalt und Pfeiltasten ändern seine Größe, Entf nimmt ihn weg. Mausrad: größer; F: ganze Aufnahme.</translation>
    </message>
    <message>
        <source>I have looked: no name, number or date is left to read on this film.</source>
        <translation>Ich habe nachgesehen: auf dieser Aufnahme ist kein Name, keine Nummer und kein Datum mehr zu lesen.</translation>
    </message>
    <message>
        <source>Looked at</source>
        <translation>Angesehen</translation>
    </message>
    <message>
        <source>Film before</source>
        <translation>Vorige Aufnahme</translation>
    </message>
    <message>
        <source>Next film</source>
        <translation>Nächste Aufnahme</translation>
    </message>
    <message>
        <source>Take the box away</source>
        <translation>Kasten wegnehmen</translation>
    </message>
    <message>
        <source>Dates removed</source>
        <translation>Daten entfernt</translation>
    </message>
    <message>
        <source>Dates shifted, intervals kept</source>
        <translation>Daten verschoben, Abstände erhalten</translation>
    </message>
    <message>
        <source>Dates</source>
        <translation>Daten</translation>
    </message>
    <message>
        <source>Write the copy …</source>
        <translation>Kopie schreiben …</translation>
    </message>
    <message>
        <source>No film in this case.</source>
        <translation>Keine Aufnahme in diesem Fall.</translation>
    </message>
    <message>
        <source>Film {0} of {1}: {2}</source>
        <translation>Aufnahme {0} von {1}: {2}</translation>
    </message>
    <message>
        <source>Films to look at yet: {0}</source>
        <translation>Noch anzusehende Aufnahmen: {0}</translation>
    </message>
    <message>
        <source>Name a new folder for the copy</source>
        <translation>Einen neuen Ordner für die Kopie nennen</translation>
    </message>
    <message>
        <source>teaching copy</source>
        <translation>Lehrkopie</translation>
    </message>
    <message>
        <source>Teaching copy written: {0}</source>
        <translation>Lehrkopie geschrieben: {0}</translation>
    </message>
</context>
<context>
    <name>Theme</name>
    <message>
        <source>Dark with paper</source>
        <translation>Dunkel mit Papier</translation>
    </message>
    <message>
        <source>Light</source>
        <translation>Hell</translation>
    </message>
    <message>
        <source>Dark</source>
        <translation>Dunkel</translation>
    </message>
    <message>
        <source>High contrast</source>
        <translation>Hoher Kontrast</translation>
    </message>
</context>
<context>
    <name>Tour</name>
    <message>
        <source>The crown will be 10.5 mm high: type 10.5 and Enter.</source>
        <translation>Die Krone wird 10,5 mm hoch: geben Sie 10,5 ein, dann Eingabe.</translation>
    </message>
    <message>
        <source>The hollow, dashed marks are suggestions. They count in no number until you confirm them: Enter keeps one, Ctrl+Enter keeps all. Look at them, then keep them.</source>
        <translation>Die hohlen, gestrichelten Markierungen sind Vorschläge. Sie zählen in keiner Zahl, bis Sie sie bestätigen: Eingabe behält eine, Strg+Eingabe alle. Sehen Sie sie an, dann behalten Sie sie.</translation>
    </message>
    <message>
        <source>That is all. Ctrl+R writes the record as PDF, Ctrl+K finds any command, F1 lists the keys. Synthetic films are for trying out only.</source>
        <translation>Das ist alles. Strg+R schreibt den Bericht als PDF, Strg+K findet jeden Befehl, F1 zeigt die Tasten. Synthetische Aufnahmen sind nur zum Ausprobieren da.</translation>
    </message>
    <message>
        <source>This is Cedar, a synthetic film of a root-filled tooth 11 that is to carry a post. The line at the bottom always says what is wanted next, and which key does what. Go on when you have found it.</source>
        <translation>Das ist Cedar, eine synthetische Aufnahme eines wurzelgefüllten Zahns 11, der einen Stift tragen soll. Die Zeile ganz unten sagt immer, was als Nächstes verlangt ist und welche Taste was tut. Gehen Sie weiter, wenn Sie sie gefunden haben.</translation>
    </message>
    <message>
        <source>How was the film taken? Press 1, paralleling. And millimetres need something of known size: when the line asks how wide the ringed ball is, type 5 and Enter; if it is not ringed, press K and click it first.</source>
        <translation>Wie wurde die Aufnahme gemacht? Drücken Sie 1, Paralleltechnik. Und Millimeter brauchen etwas bekannter Größe: wenn die Zeile fragt, wie breit die umrandete Kugel ist, geben Sie 5 ein, dann Eingabe; ist sie nicht umrandet, drücken Sie K und klicken Sie sie zuerst an.</translation>
    </message>
    <message>
        <source>Now click the incisal edge of the tooth in the middle. The inset shows it larger.</source>
        <translation>Klicken Sie nun auf die Schneidekante des Zahns in der Mitte. Die Lupe zeigt sie größer.</translation>
    </message>
    <message>
        <source>And click the apex of its root.</source>
        <translation>Und klicken Sie auf den Apex seiner Wurzel.</translation>
    </message>
    <message>
        <source>What the film does not show clearly is not suggested but asked for. Click the place that the line at the bottom names, or press Backspace to leave it for later.</source>
        <translation>Was die Aufnahme nicht deutlich zeigt, wird nicht vorgeschlagen, sondern erfragt. Klicken Sie auf die Stelle, die die Zeile unten nennt, oder drücken Sie die Rücktaste, um sie für später zu lassen.</translation>
    </message>
    <message>
        <source>The record is written as you would dictate it. “why” behind a sentence tells what it means, by which rule, where the rule is from, and what would make it surer. Try one.</source>
        <translation>Der Bericht ist so geschrieben, wie Sie ihn diktieren würden. „warum“ hinter einem Satz sagt, was er bedeutet, nach welcher Regel, woher die Regel stammt und was ihn sicherer machen würde. Probieren Sie es an einem.</translation>
    </message>
    <message>
        <source>Drag any mark on the film: the numbers follow. Then press Ctrl+Z: it goes back. Everything is on disk at once; nothing needs saving.</source>
        <translation>Ziehen Sie eine Markierung auf der Aufnahme: die Zahlen folgen. Drücken Sie dann Strg+Z: sie geht zurück. Alles ist sofort gespeichert; Sie brauchen nichts zu speichern.</translation>
    </message>
    <message>
        <source>On the level chart the shaded window is the room for a post. Of the two lozenges at its end the outer one holds the filling kept below it: drag it from 5 to 4 mm and see what is gained, and what speaks against it.</source>
        <translation>Im Höhendiagramm ist das schattierte Fenster der Platz für einen Stift. Von den beiden Rauten an seinem Ende hält die äußere die darunter bleibende Wurzelkanalfüllung: ziehen Sie sie von 5 auf 4 mm und sehen Sie, was gewonnen wird und was dagegen spricht.</translation>
    </message>
    <message>
        <source>&amp;Go on</source>
        <translation>&amp;Weiter</translation>
    </message>
    <message>
        <source>End the tour</source>
        <translation>Rundgang beenden</translation>
    </message>
    <message>
        <source>{0} of {1}</source>
        <translation>{0} von {1}</translation>
    </message>
    <message>
        <source>Close</source>
        <translation>Schließen</translation>
    </message>
</context>
<context>
    <name>TruthLeaf</name>
    <message>
        <source>Truth of this synthetic film</source>
        <translation>Wahrheit dieser synthetischen Aufnahme</translation>
    </message>
    <message>
        <source>This film is not one whose truth is known.</source>
        <translation>Von dieser Aufnahme ist die Wahrheit nicht bekannt.</translation>
    </message>
    <message>
        <source>It is hidden until you ask for it: measure first.</source>
        <translation>Sie ist verborgen, bis Sie danach fragen: messen Sie zuerst.</translation>
    </message>
    <message>
        <source>Show the truth</source>
        <translation>Wahrheit zeigen</translation>
    </message>
    <message>
        <source>Hide the truth</source>
        <translation>Wahrheit verbergen</translation>
    </message>
    <message>
        <source>White crosses on the film are the true places. The truth is that of the tooth in space; the last column is the difference in units of the standard uncertainty you state: one in twenty may lie beyond ± 2.</source>
        <translation>Weiße Kreuze auf der Aufnahme sind die wahren Stellen. Die Wahrheit ist die des Zahns im Raum; die letzte Spalte ist der Unterschied in Einheiten der Standardunsicherheit, die Sie angeben: einer von zwanzig darf außerhalb von ± 2 liegen.</translation>
    </message>
    <message>
        <source>Nothing was measured on this film yet.</source>
        <translation>Auf dieser Aufnahme wurde noch nichts gemessen.</translation>
    </message>
    <message>
        <source>No reading is there to compare yet.</source>
        <translation>Es ist noch kein Messwert zum Vergleichen da.</translation>
    </message>
    <message>
        <source>reading</source>
        <translation>Messwert</translation>
    </message>
    <message>
        <source>yours</source>
        <translation>Ihrer</translation>
    </message>
    <message>
        <source>true</source>
        <translation>wahr</translation>
    </message>
    <message>
        <source>off by</source>
        <translation>daneben um</translation>
    </message>
    <message>
        <source>in u</source>
        <translation>in u</translation>
    </message>
    <message>
        <source>✱ further off than the stated uncertainty allows for</source>
        <translation>✱ weiter daneben, als die angegebene Unsicherheit zulässt</translation>
    </message>
    <message>
        <source>How far your marks lie from the true places</source>
        <translation>Wie weit Ihre Markierungen von den wahren Stellen liegen</translation>
    </message>
    <message>
        <source>mark</source>
        <translation>Markierung</translation>
    </message>
    <message>
        <source>apart</source>
        <translation>entfernt</translation>
    </message>
</context>
<context>
    <name>TwoFilms</name>
    <message>
        <source>Earlier and later film</source>
        <translation>Früherer und späterer Film</translation>
    </message>
    <message>
        <source>Show it beside</source>
        <translation>Daneben zeigen</translation>
    </message>
    <message>
        <source>Each film is measured on its own scale and both are taken as independent; a change counts when it is larger than its own 95 % uncertainty.</source>
        <translation>Jeder Film ist in seinem eigenen Maßstab gemessen, und beide gelten als unabhängig; eine Änderung zählt, wenn sie größer ist als ihre eigene 95-%-Unsicherheit.</translation>
    </message>
    <message>
        <source>Film to hold this one against</source>
        <translation>Film, mit dem dieser verglichen wird</translation>
    </message>
    <message>
        <source>earlier</source>
        <translation>früher</translation>
    </message>
    <message>
        <source>later</source>
        <translation>später</translation>
    </message>
    <message>
        <source>change</source>
        <translation>Änderung</translation>
    </message>
</context>
<context>
    <name>ViewCommands</name>
    <message>
        <source>The picture is on the clipboard.</source>
        <translation>Das Bild ist in der Zwischenablage.</translation>
    </message>
    <message>
        <source>The case has no other film to show beside.</source>
        <translation>Der Fall hat keine andere Aufnahme, die daneben gezeigt werden könnte.</translation>
    </message>
</context>
<context>
    <name>Ways</name>
    <message>
        <source>as it is</source>
        <translation>unver­ändert</translation>
    </message>
    <message>
        <source>lengthening</source>
        <translation>Kronen­verlän­gerung</translation>
    </message>
    <message>
        <source>extrusion</source>
        <translation>Extrusion</translation>
    </message>
    <message>
        <source>both</source>
        <translation>beides</translation>
    </message>
</context>
<context>
    <name>WaysLeaf</name>
    <message>
        <source>Ways to gain tooth are laid out once there is a scale, an apex and the crest.</source>
        <translation>Wege, Zahnsubstanz zu gewinnen, werden dargelegt, sobald es einen Maßstab, einen Apex und den Alveolarkamm gibt.</translation>
    </message>
    <message>
        <source>Ways to gain tooth</source>
        <translation>Wege, Zahnsubstanz zu gewinnen</translation>
    </message>
    <message>
        <source>Ferrule waits for: {0}.</source>
        <translation>Fassreifen – es fehlt noch: {0}.</translation>
    </message>
    <message>
        <source>Tooth gained, mm</source>
        <translation>Gewonnene Zahnsubstanz, mm</translation>
    </message>
    <message>
        <source>of it drawn out, mm</source>
        <translation>davon extrudiert, mm</translation>
    </message>
    <message>
        <source>✓ meets · ✗ does not meet · ? too close to call, with its probability</source>
        <translation>✓ erfüllt · ✗ nicht erfüllt · ? nicht sicher entscheidbar, mit Wahrscheinlichkeit</translation>
    </message>
    <message>
        <source>Which way, if any, is the clinician&apos;s choice.</source>
        <translation>Ob und welcher Weg gegangen wird, entscheiden die Behandelnden.</translation>
    </message>
    <message>
        <source>ferrule, {0}</source>
        <translation>Fassreifen, {0}</translation>
    </message>
    <message>
        <source>crown to root</source>
        <translation>Krone zu Wurzel</translation>
    </message>
    <message>
        <source>root to crown</source>
        <translation>Wurzel zu Krone</translation>
    </message>
    <message>
        <source>bone support</source>
        <translation>knöcherne Abstützung</translation>
    </message>
    <message>
        <source>post safe to, mm</source>
        <translation>Stift sicher bis, mm</translation>
    </message>
    <message>
        <source>short of the rules by, mm</source>
        <translation>unter den Regeln um, mm</translation>
    </message>
    <message>
        <source>bone taken</source>
        <translation>Knochen entfernt</translation>
    </message>
    <message>
        <source>tooth drawn</source>
        <translation>Zahn extrudiert</translation>
    </message>
</context>
<context>
    <name>Welcome</name>
    <message>
        <source>Drop a film here</source>
        <translation>Aufnahme hierher ziehen</translation>
    </message>
    <message>
        <source>Open … (Ctrl+O)</source>
        <translation>Öffnen … (Strg+O)</translation>
    </message>
    <message>
        <source>Three-minute tour</source>
        <translation>Rundgang in drei Minuten</translation>
    </message>
    <message>
        <source>or go on with a case:</source>
        <translation>oder an einem Fall weiterarbeiten:</translation>
    </message>
    <message>
        <source>tooth {number}</source>
        <translation>Zahn {number}</translation>
    </message>
    <message>
        <source>or try a synthetic sample, for teaching only:</source>
        <translation>oder ein synthetisches Muster ausprobieren, nur zum Lehren:</translation>
    </message>
</context>
<context>
    <name>Window</name>
    <message>
        <source>Recent</source>
        <translation>Zuletzt</translation>
    </message>
    <message>
        <source>Samples</source>
        <translation>Muster</translation>
    </message>
    <message>
        <source>Colours</source>
        <translation>Farben</translation>
    </message>
    <message>
        <source>Language</source>
        <translation>Sprache</translation>
    </message>
    <message>
        <source>As the system</source>
        <translation>Wie das System</translation>
    </message>
    <message>
        <source>The language changes when the program is started again.</source>
        <translation>Die Sprache wechselt, wenn das Programm neu gestartet wird.</translation>
    </message>
    <message>
        <source>Film beside</source>
        <translation>Aufnahme daneben</translation>
    </message>
    <message>
        <source>{2} at {0}, {1}</source>
        <translation>{2} bei {0}, {1}</translation>
    </message>
</context>
<context>
    <name>WorksheetLeaf</name>
    <message>
        <source>The worksheet begins with the tooth.</source>
        <translation>Der Entscheidungsbogen beginnt mit dem Zahn.</translation>
    </message>
    <message>
        <source>Asked by hand</source>
        <translation>Von Hand gefragt</translation>
    </message>
    <message>
        <source>{0}: what is left of each part of the crown, 0 to {1}</source>
        <translation>{0}: was von jedem Teil der Krone übrig ist, 0 bis {1}</translation>
    </message>
    <message>
        <source>{0} of {1} answered; a key answers, arrows go on</source>
        <translation>{0} von {1} beantwortet; eine Taste antwortet, Pfeiltasten gehen weiter</translation>
    </message>
</context>
</TS>
