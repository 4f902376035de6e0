"""What a statement must look like: our own JSON Schema of the parts we write.

From xAPI 2.0 (IEEE 9274.1.1) as the project's assessment conventions tell it, section 3.8, from
memory where those say nothing: required parts, no others, IRIs, UUIDs, scaled from -1 to 1, ISO
8601 durations, opaque accounts only.
"""

UUID = "^[0-9a-f]{8}-[0-9a-f]{4}-5[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$"
IRI = '^https?://[^\\s<>"{}|\\\\^`]+$'
TIME = "^\\d{4}-\\d\\d-\\d\\dT\\d\\d:\\d\\d:\\d\\d\\.\\d{3}Z$"
DURATION = "^PT(?=\\d)(\\d+H)?(\\d+M)?(\\d+(\\.\\d{1,2})?S)?$"


def only(required, **properties):
    return {"type": "object", "properties": properties, "required": required.split(),
            "additionalProperties": False}  # fmt: skip


def text(pattern):
    return {"type": "string", "pattern": pattern}


IRIS = {"type": "object", "propertyNames": text(IRI)}
LANGUAGE = {"type": "object", "propertyNames": text("^[a-z]{2}(-[A-Z]{2})?$"), "minProperties": 1,
            "additionalProperties": {"type": "string"}}  # fmt: skip
ACCOUNT = only("homePage name", homePage=text(IRI), name={"type": "string"})
ACTOR = only("objectType account", objectType={"const": "Agent"}, account=ACCOUNT)
ACTIVITY = only(
    "objectType id", objectType={"const": "Activity"}, id=text(IRI),
    definition=only("type name", type=text(IRI), name=LANGUAGE),
)  # fmt: skip
REFERENCE = only("objectType id", objectType={"const": "StatementRef"}, id=text(UUID))
SCORE = only(
    "scaled raw min max", scaled={"type": "number", "minimum": -1, "maximum": 1},
    raw={"type": "number", "minimum": 0, "maximum": 100}, min={"const": 0}, max={"const": 100},
)  # fmt: skip
RESULT = only("duration", duration=text(DURATION), score=SCORE, success={"type": "boolean"},
              completion={"type": "boolean"}, extensions=IRIS)  # fmt: skip
CONTEXT = only(
    "registration", registration=text(UUID), platform={"type": "string"},
    language={"const": "en-US"}, extensions=IRIS,
    contextActivities=only("parent", parent={"type": "array", "items": ACTIVITY, "minItems": 1}),
)  # fmt: skip
STATEMENT = {
    **only(
        "id timestamp actor verb object", id=text(UUID), timestamp=text(TIME), actor=ACTOR,
        verb=only("id display", id=text(IRI), display=LANGUAGE),
        object={"oneOf": [ACTIVITY, REFERENCE]}, result=RESULT, context=CONTEXT,
    ),
    # platform is for activities only, so a voiding statement has no context
    "if": {"properties": {"object": REFERENCE}}, "then": {"not": {"required": ["context"]}},
}  # fmt: skip
STATEMENTS = {"type": "array", "items": STATEMENT}
