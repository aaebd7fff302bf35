<?xml version="1.0" encoding="utf-8"?>
<!DOCTYPE TS>
<TS version="2.1" language="en" sourcelanguage="en">
<context>
    <name>CasesLeaf</name>
    <message numerus="yes">
        <source>%n case(s)</source>
        <translation>
            <numerusform>%n case</numerusform>
            <numerusform>%n cases</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>HistoryLeaf</name>
    <message numerus="yes">
        <source>%n older change(s) are in the file.</source>
        <translation>
            <numerusform>%n older change is in the file.</numerusform>
            <numerusform>%n older changes are in the file.</numerusform>
        </translation>
    </message>
</context>
<context>
    <name>LandmarkModel</name>
    <message numerus="yes">
        <source>%n point(s)</source>
        <translation>
            <numerusform>%n point</numerusform>
            <numerusform>%n points</numerusform>
        </translation>
    </message>
</context>
</TS>
