"""What IEC 61131-10 calls the elements of TC6.

Source: from memory: IEC 61131-10:2019. Rule: one row for each word that differs; reading and writing both look here.
"""

from typing import Final

UNITS: Final = {"Program": "program", "FunctionBlock": "functionBlock", "Function": "function"}
SECTIONS: Final = {
    "Vars": "localVars", "TempVars": "tempVars", "InputVars": "inputVars", "OutputVars": "outputVars",
    "InoutVars": "inOutVars", "ExternalVars": "externalVars", "GlobalVars": "globalVars", "AccessVars": "accessVars",
    "ConfigVars": "configVars",
}  # fmt: skip
OBJECTS: Final = {
    "Comment": "comment", "Connector": "connector", "Continuation": "continuation", "Block": "block",
    "DataSource": "inVariable", "DataSink": "outVariable", "Jump": "jump", "Return": "return",
    "LeftPowerRail": "leftPowerRail", "RightPowerRail": "rightPowerRail", "Contact": "contact", "Coil": "coil",
    "Step": "step", "JumpStep": "jumpStep", "Transition": "transition", "MacroStep": "macroStep",
    "SelectionDivergence": "selectionDivergence", "SelectionConvergence": "selectionConvergence",
    "SimultaneousDivergence": "simultaneousDivergence", "SimultaneousConvergence": "simultaneousConvergence",
    "ActionBlock": "actionBlock",
}  # fmt: skip
ATTRIBUTES: Final = {
    "operand": "", "identifier": "", "latch": "storage", "targetLabel": "label", "initial": "initialStep",
    "evaluationOrder": "executionOrderId", "targetStep": "targetName",
}  # fmt: skip
"""Attributes of objects that are named otherwise in TC6; empty: an element holds it there."""
ELEMENTARY: Final = frozenset(
    ("BOOL", "BYTE", "WORD", "DWORD", "LWORD", "SINT", "INT", "DINT", "LINT", "USINT", "UINT", "UDINT", "ULINT", "REAL",
     "LREAL", "TIME", "DATE", "DT", "TOD")
)  # fmt: skip
