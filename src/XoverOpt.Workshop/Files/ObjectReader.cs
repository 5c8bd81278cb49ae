using System.Text.Json;

namespace XoverOpt.Workshop;

/// <summary>
/// Reads a JSON object key by key. Every key asked for becomes a known one; <see cref="Finish"/> then refuses the rest with the
/// nearest known key. A required value that is missing or may not stand there becomes a fault and reads as a placeholder (NaN, 0 or
/// empty), which never gets out because a reading with faults has no value.
/// </summary>
public sealed class ObjectReader
{
    private readonly Dictionary<string, JsonElement> _members = [];
    private readonly List<string> _known = [];

    /// <param name="at">A cursor at an object.</param>
    internal ObjectReader(JsonCursor at)
    {
        At = at;
        foreach (JsonProperty member in at.Element.EnumerateObject())
        {
            string name;
            try
            {
                name = member.Name;
            }
            catch (InvalidOperationException)
            {
                at.Refuse("keys whose \\u escapes make whole letters", found: "a key with a broken \\u escape");
                continue;
            }

            if (!_members.TryAdd(name, member.Value))
            {
                at.Below(name, member.Value).Refuse("each key once", "Remove one of the two.", $"the key \"{name}\" a second time");
            }
        }
    }

    /// <summary>The place of the object.</summary>
    public JsonCursor At { get; }

    /// <summary>Whether the object has the key; it becomes a known one.</summary>
    public bool Has(string key) => Optional(key) is not null;

    /// <summary>The value at a key; null when the key is missing.</summary>
    public JsonCursor? Optional(string key)
    {
        if (!_known.Contains(key))
        {
            _known.Add(key);
        }

        return _members.TryGetValue(key, out JsonElement element) ? At.Below(key, element) : null;
    }

    /// <summary>The value at a key; null, with a fault, when the key is missing.</summary>
    /// <param name="key">The key.</param>
    /// <param name="what">What belongs there, in words.</param>
    public JsonCursor? Required(string key, string what)
    {
        JsonCursor? value = Optional(key);
        if (value is null)
        {
            At.Refuse($"an object with the key \"{key}\": {what}", Misspelt(key), $"no key \"{key}\"");
        }

        return value;
    }

    /// <summary>A number that may be left out.</summary>
    public double? Number(string key, NumberRange range) => Optional(key)?.AsNumber(range);

    /// <summary>A number that must be there; NaN after a fault.</summary>
    public double RequiredNumber(string key, NumberRange range) => Required(key, range.ToString())?.AsNumber(range) ?? double.NaN;

    /// <summary>A whole number that may be left out.</summary>
    public long? Whole(string key, long min, long max) => Optional(key)?.AsWhole(min, max);

    /// <summary>Text that may be left out.</summary>
    public string? Text(string key, int most = 200) => Optional(key)?.AsText(most);

    /// <summary>Text that must be there; empty after a fault.</summary>
    public string RequiredText(string key, int most = 200) => Required(key, "text")?.AsText(most) ?? "";

    /// <summary>One of some words that may be left out.</summary>
    public T? Choice<T>(string key, IReadOnlyList<(string Word, T Value)> choices)
        where T : struct => Optional(key)?.AsChoice(choices);

    /// <summary>An object that may be left out.</summary>
    public ObjectReader? Object(string key) => Optional(key)?.AsObject();

    /// <summary>An object that must be there; null after a fault.</summary>
    public ObjectReader? RequiredObject(string key) => Required(key, "an object")?.AsObject();

    /// <summary>A list that may be left out.</summary>
    public IReadOnlyList<JsonCursor>? List(string key, int min = 0, int max = int.MaxValue) => Optional(key)?.AsList(min, max);

    /// <summary>A list that must be there; null after a fault.</summary>
    public IReadOnlyList<JsonCursor>? RequiredList(string key, int min = 0, int max = int.MaxValue) =>
        Required(key, "a list")?.AsList(min, max);

    /// <summary>Checks the key "format" that every file bears.</summary>
    /// <param name="formats">The formats that may stand here, such as "job/1".</param>
    /// <returns>The format; null after a fault.</returns>
    public string? Format(params IReadOnlyList<string> formats)
    {
        string allowed = string.Join(" or ", formats.Select(format => $"\"{format}\""));
        if (Required("format", allowed) is not { } at || at.AsText() is not { } found)
        {
            return null;
        }

        if (formats.Contains(found))
        {
            return found;
        }

        at.Refuse(allowed, Nearest.Hint(found, formats));
        return null;
    }

    /// <summary>Takes every key as known, where what went wrong leaves it open which keys belong there.</summary>
    public void Forgive() => _known.AddRange(_members.Keys.Except(_known).ToArray());

    /// <summary>Refuses every key that was not asked for. Call it when all keys were.</summary>
    public void Finish()
    {
        foreach ((string name, JsonElement element) in _members)
        {
            if (!_known.Contains(name))
            {
                string allowed = _known.Count == 0 ? "no keys here" : "the keys " + string.Join(", ", _known);
                At.Below(name, element).Refuse(allowed, At.Faults.IsFull ? null : Nearest.Hint(name, _known), $"the unknown key \"{name}\"");
            }
        }
    }

    private string? Misspelt(string key) =>
        Nearest.To(key, _members.Keys.Except(_known)) is { } near ? $"Is \"{near}\" meant to be it?" : null;
}
