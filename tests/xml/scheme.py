"""What the schemes demand of the elements that we write: attributes, and the order of what stands inside.

From memory: TC6 XML formats for IEC 61131-3, version 2.01, and IEC 61131-10:2019; neither text was at hand. Rule: a row
says what is demanded, not what we happen to write; `a!` is an attribute that must be there, `a` one that may.
"""

import re

_MARKS = "negated edge storage"
_OBJECT = "localId! width height executionOrderId globalId"
_ELEMENTARY = "BOOL|BYTE|WORD|DWORD|LWORD|SINT|INT|DINT|LINT|USINT|UINT|UDINT|ULINT|REAL|LREAL|TIME|DATE|DT|TOD"
_DERIVED = "string|wstring|array|derived|enum|struct|subrangeSigned|subrangeUnsigned|pointer"
_TYPES = f"({_ELEMENTARY}|{_DERIVED})"
_LISTS = ["localVars", "tempVars", "inputVars", "outputVars", "inOutVars", "externalVars", "globalVars"]
_LIST = ("name constant retain nonretain persistent nonpersistent", "variable*")
_DRAWN = (
    "(comment|error|connector|continuation|actionBlock|vendorElement|block|inVariable|outVariable|inOutVariable|label|jump"
    "|return"
)
_LADDER = "|leftPowerRail|rightPowerRail|coil|contact"
_CHART = (
    "|step|macroStep|jumpStep|transition|selectionDivergence|selectionConvergence|simultaneousDivergence"
    "|simultaneousConvergence"
)
_NOTES = "addData? documentation?"

TC6 = {
    "project": ("", "fileHeader contentHeader types instances " + _NOTES),
    "fileHeader": ("companyName! productName! productVersion! creationDateTime! companyURL productRelease "
                   "contentDescription", ""),
    "contentHeader": ("name! version modificationDateTime organization author language",
                      "Comment? coordinateInfo addDataInfo? addData?"),
    "coordinateInfo": ("", "pageSize? fbd ld sfc"),
    "fbd": ("", "scaling"), "ld": ("", "scaling"), "sfc": ("", "scaling"), "scaling": ("x! y!", ""),
    "types": ("", "dataTypes pous"), "dataTypes": ("", "dataType*"), "pous": ("", "pou*"),
    "dataType": ("name!", "baseType initialValue? " + _NOTES),
    "pou": ("name! pouType! globalId", "interface? actions? transitions? body* " + _NOTES),
    "interface": ("", f"returnType? ({'|'.join(_LISTS)}|accessVars)* {_NOTES}"),
    "returnType": ("", _TYPES), "type": ("", _TYPES), "baseType": ("", _TYPES),
    **dict.fromkeys(_LISTS, _LIST),
    **dict.fromkeys(_ELEMENTARY.split("|"), ("", "")),
    "variable": ("name! address globalId", "type initialValue? " + _NOTES),
    "derived": ("name!", ""), "string": ("length", ""), "wstring": ("length", ""),
    "array": ("", "dimension+ baseType"), "dimension": ("lower! upper!", ""), "range": ("lower! upper!", ""),
    "subrangeSigned": ("", "range baseType"), "subrangeUnsigned": ("", "range baseType"),
    "struct": ("", "variable*"), "enum": ("", "values baseType?"), "values": ("", "value+"),
    "values/value": ("name! value", ""),
    "initialValue": ("", "(simpleValue|arrayValue|structValue)"), "simpleValue": ("value", ""),
    "arrayValue": ("", "value*"), "arrayValue/value": ("repetitionValue", "(simpleValue|arrayValue|structValue)"),
    "structValue": ("", "value*"), "structValue/value": ("member!", "(simpleValue|arrayValue|structValue)"),
    "documentation": ("", "xhtml"), "content": ("", "xhtml"), "ST": ("", "xhtml"), "xhtml": ("", ""),
    "Comment": ("", ""),
    "body": ("WorksheetName globalId", "(ST|LD|FBD|SFC) " + _NOTES), "inline": ("name!", "(ST|LD|FBD|SFC)"),
    "actions": ("", "action*"), "actions/action": ("name! globalId", "body " + _NOTES),
    "FBD": ("", _DRAWN + ")*"), "LD": ("", _DRAWN + _LADDER + ")*"), "SFC": ("", _DRAWN + _LADDER + _CHART + ")*"),
    "comment": ("localId! height! width! globalId", "position content " + _NOTES),
    "connector": ("name! " + _OBJECT, "position connectionPointIn? " + _NOTES),
    "continuation": ("name! " + _OBJECT, "position connectionPointOut? " + _NOTES),
    "label": ("label! " + _OBJECT, "position " + _NOTES),
    "jump": ("label! " + _OBJECT, "position connectionPointIn? " + _NOTES),
    "return": (_OBJECT, "position connectionPointIn? " + _NOTES),
    "inVariable": (f"{_OBJECT} {_MARKS}", "position connectionPointOut? expression " + _NOTES),
    "outVariable": (f"{_OBJECT} {_MARKS}", "position connectionPointIn? expression " + _NOTES),
    "inOutVariable": (_OBJECT + " negatedIn edgeIn storageIn negatedOut edgeOut storageOut",
                      "position connectionPointIn? connectionPointOut? expression " + _NOTES),
    "block": ("typeName! instanceName " + _OBJECT,
              "position inputVariables inOutVariables outputVariables " + _NOTES),
    "inputVariables": ("", "variable*"), "inOutVariables": ("", "variable*"), "outputVariables": ("", "variable*"),
    "inputVariables/variable": ("formalParameter! hidden " + _MARKS, "connectionPointIn " + _NOTES),
    "inOutVariables/variable": ("formalParameter! hidden " + _MARKS,
                                "connectionPointIn? connectionPointOut? " + _NOTES),
    "outputVariables/variable": ("formalParameter! hidden " + _MARKS, "connectionPointOut " + _NOTES),
    "leftPowerRail": (_OBJECT, "position connectionPointOut* " + _NOTES),
    "leftPowerRail/connectionPointOut": ("formalParameter!", "relPosition? expression? addData?"),
    "rightPowerRail": (_OBJECT, "position connectionPointIn* " + _NOTES),
    "contact": (f"{_OBJECT} {_MARKS}", "position connectionPointIn? connectionPointOut? variable " + _NOTES),
    "coil": (f"{_OBJECT} {_MARKS}", "position connectionPointIn? connectionPointOut? variable " + _NOTES),
    "contact/variable": ("", ""), "coil/variable": ("", ""), "expression": ("", ""),
    "position": ("x! y!", ""), "relPosition": ("x! y!", ""),
    "connectionPointIn": ("", "relPosition? (connection*|expression) addData?"),
    "connectionPointOut": ("", "relPosition? expression? addData?"),
    "connection": ("refLocalId! formalParameter globalId", "position* addData?"),
    "step": ("name! initialStep negated " + _OBJECT,
             "position connectionPointIn? connectionPointOut? connectionPointOutAction? " + _NOTES),
    "step/connectionPointOut": ("formalParameter!", "relPosition? expression? addData?"),
    "connectionPointOutAction": ("formalParameter!", "relPosition? expression? addData?"),
    "jumpStep": ("targetName! " + _OBJECT, "position connectionPointIn? " + _NOTES),
    "transition": ("priority " + _OBJECT, "position connectionPointIn? connectionPointOut? condition? " + _NOTES),
    "condition": ("negated", "(reference|connectionPointIn|inline) addData?"), "reference": ("name!", ""),
    "selectionDivergence": (_OBJECT, "position connectionPointIn? connectionPointOut* " + _NOTES),
    "selectionDivergence/connectionPointOut": ("formalParameter!", "relPosition? expression? addData?"),
    "simultaneousDivergence": ("name " + _OBJECT, "position connectionPointIn? connectionPointOut* " + _NOTES),
    "simultaneousDivergence/connectionPointOut": ("formalParameter!", "relPosition? expression? addData?"),
    "simultaneousConvergence": (_OBJECT, "position connectionPointIn* connectionPointOut? " + _NOTES),
    "actionBlock": ("negated " + _OBJECT, "position connectionPointIn? action* " + _NOTES),
    "action": ("localId! qualifier width height duration indicator executionOrderId",
               "relPosition (reference|inline) connectionPointOut? " + _NOTES),
    "instances": ("", "configurations"), "configurations": ("", "configuration*"),
    "configuration": ("name! globalId", "resource* globalVars* accessVars? configVars? " + _NOTES),
    "resource": ("name! globalId", "task* globalVars* pouInstance* " + _NOTES),
    "task": ("name! priority! single interval globalId", "pouInstance* " + _NOTES),
    "pouInstance": ("name! typeName! globalId", _NOTES),
    "configVars": ("name constant retain nonretain persistent nonpersistent", "configVariable* " + _NOTES),
    "configVariable": ("instancePathAndName! address", "type initialValue? " + _NOTES),
}  # fmt: skip

_SAID = "AddData? Documentation?"
_PLACED = "RelPosition"
IEC = {
    "Project": ("schemaVersion!", "FileHeader ContentHeader Types Instances"),
    "FileHeader": ("companyName! productName! productVersion! companyURL productRelease contentDescription", ""),
    "ContentHeader": ("name! creationDateTime! version modificationDateTime organization author language",
                      "Comment? CoordinateInfo"),
    "CoordinateInfo": ("", "FbdScaling LdScaling SfcScaling"),
    "FbdScaling": ("x! y!", ""), "LdScaling": ("x! y!", ""), "SfcScaling": ("x! y!", ""),
    "Comment": ("type!", ""), "Documentation": ("type!", ""), "Content": ("type!", ""),
    "Types": ("", "GlobalNamespace"),
    "GlobalNamespace": ("", "(DataTypeDecl|Program|FunctionBlock|Function|NamespaceDecl)*"),
    "DataTypeDecl": ("name!", _SAID + " UserDefinedTypeSpec InitialValue?"),
    "UserDefinedTypeSpec": ("type! maxLength", "BaseType? (Member|Enumerator|DimensionSpec|Range)*"),
    "InstantlyDefinedType": ("type! maxLength", "BaseType? (Member|Enumerator|DimensionSpec|Range)*"),
    "BaseType": ("", "(TypeName|InstantlyDefinedType)"), "Type": ("", "(TypeName|InstantlyDefinedType)"),
    "TypeName": ("", ""), "Member": ("name!", _SAID + " Type InitialValue?"), "Enumerator": ("name! value", ""),
    "DimensionSpec": ("", "IndexRange"), "IndexRange": ("lower! upper!", ""), "Range": ("lower! upper!", ""),
    "InitialValue": ("", "(SimpleValue|ArrayValue|StructValue)"), "SimpleValue": ("value", ""),
    "ArrayValue": ("", "Value*"), "StructValue": ("", "Value*"),
    "ArrayValue/Value": ("repetitionValue", "(SimpleValue|ArrayValue|StructValue)"),
    "StructValue/Value": ("member!", "(SimpleValue|ArrayValue|StructValue)"),
    **dict.fromkeys(("Program", "FunctionBlock", "Function"), (
        "name!", _SAID + " ResultType? Parameters? (ExternalVars|Vars|TempVars|GlobalVars)* Action* MainBody")),
    "ResultType": ("", "(TypeName|InstantlyDefinedType)"), "Parameters": ("", "(InputVars|OutputVars|InoutVars)+"),
    **dict.fromkeys(("InputVars", "OutputVars", "InoutVars", "ExternalVars", "Vars", "TempVars", "GlobalVars"),
                    ("constant retain", "Variable*")),
    "Variable": ("name!", _SAID + " Type InitialValue? Address?"), "Address": ("address!", ""),
    "Program/Action": ("name!", _SAID + " Body"), "FunctionBlock/Action": ("name!", _SAID + " Body"),
    "MainBody": ("", "BodyContent"), "Body": ("", "BodyContent"), "Inline": ("name!", "BodyContent"),
    "BodyContent": ("type!", "(ST|Rung*|Network*|SfcObject*)"), "ST": ("", ""),
    "Rung": ("evaluationOrder! label", "(CommonObject|FbdObject|LdObject)*"),
    "Network": ("evaluationOrder! label", "(CommonObject|FbdObject)*"),
    "CommonObject": ("type! name", _PLACED + " ConnectionPointIn? ConnectionPointOut? Content?"),
    "LdObject": ("type! operand edge latch negated evaluationOrder",
                 _PLACED + " ConnectionPointIn* ConnectionPointOut*"),
    "FbdObject": ("type! typeName instanceName identifier targetLabel edge latch negated evaluationOrder",
                  _PLACED + " (ConnectionPointIn? ConnectionPointOut?|InputVariables InOutVariables OutputVariables)"),
    "SfcObject": ("type! name initial targetStep priority",
                  f"{_SAID} {_PLACED} ConnectionPointIn* ConnectionPointOut* ConnectionPointOutAction? Condition? "
                  "Action*"),
    "InputVariables": ("", "InputVariable*"), "OutputVariables": ("", "OutputVariable*"),
    "InOutVariables": ("", "InOutVariable*"),
    "InputVariable": ("parameterName! negated edge", "ConnectionPointIn"),
    "OutputVariable": ("parameterName! negated", "ConnectionPointOut"),
    "InOutVariable": ("parameterName! negated edge", "ConnectionPointIn ConnectionPointOut"),
    "RelPosition": ("x! y!", ""), "ConnectionPointIn": ("", "RelPosition? Connection*"),
    "ConnectionPointOut": ("connectionPointOutId!", "RelPosition?"),
    "ConnectionPointOutAction": ("connectionPointOutId!", "RelPosition?"),
    "Connection": ("refConnectionPointOutId!", ""),
    "Condition": ("", "(Inline|Reference)"), "Reference": ("name!", ""),
    "Action": ("qualifier duration indicator", "RelPosition (Reference|Inline)"),
    "Instances": ("", "Configuration*"),
    "Configuration": ("name!", "(GlobalVars|ConfigVars)* Resource*"),
    "Resource": ("name! resourceTypeName!", "Task* ProgramInstance*"),
    "Task": ("name! priority! single interval", ""),
    "ProgramInstance": ("name! typeName! associatedTaskName", ""),
    "ConfigVars": ("", "ConfigVariable*"), "ConfigVariable": ("instancePathAndName! address", "Type InitialValue?"),
}  # fmt: skip


def departures(root, scheme):
    """Say where elements depart from a scheme; each kind of departure once."""
    return list(dict.fromkeys(_in(root, "", scheme)))


def _in(element, parent, scheme):
    row = scheme.get(f"{parent}/{element.name}") or scheme.get(element.name)
    if row is None:
        yield f"<{element.name}> in <{parent}> is not in the scheme"
        return
    given = set(element.attributes) - (set() if parent else {"xmlns"})
    known = {word.rstrip("!") for word in row[0].split()}
    must = {word.rstrip("!") for word in row[0].split() if word.endswith("!")}
    yield from (f"<{element.name}> in <{parent}> has {word}" for word in sorted(given - known))
    yield from (f"<{element.name}> in <{parent}> has no {word}" for word in sorted(must - given))
    inside = "".join(f"{child.name} " for child in element.children)
    pattern = re.sub(r"\w+", lambda word: f"(?:{word[0]} )", row[1]).replace(") ", ")").replace(" ", "")
    pattern = re.sub(r"\(\?:(\w+)\)", r"(?:\1 )", pattern)
    if re.fullmatch(pattern, inside) is None:
        yield f"<{element.name}> in <{parent}> holds: {inside}"
    for child in element.children:
        yield from _in(child, element.name, scheme)
