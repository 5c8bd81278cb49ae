using System.Globalization;
using System.Text.Json;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Host;

/// <summary>One thing a worker can be told: under which name, what it may be, and what it does.</summary>
/// <param name="Key">Its key in the settings file.</param>
/// <param name="Flag">Its flag on the command line.</param>
/// <param name="Value">What the value is called in the help.</param>
/// <param name="Kind">What stands there.</param>
/// <param name="About">What it does, in one sentence.</param>
/// <param name="Read">Reads the value into the settings; a wrong one becomes a fault.</param>
/// <param name="Show">The value as people read it.</param>
internal sealed record Setting(
    string Key, string Flag, string Value, SettingKind Kind, string About, Func<JsonCursor, WorkerSettings, WorkerSettings> Read, Func<WorkerSettings, string> Show)
{
    /// <summary>What all variables of the worker begin with.</summary>
    public const string Prefix = "XOVEROPT_";

    /// <summary>Whether the value must not be shown.</summary>
    public bool Secret { get; init; }

    /// <summary>The usual value in words, where it is not the same everywhere.</summary>
    public string? UsualWords { get; init; }

    /// <summary>Its variable in the environment.</summary>
    public string Variable => Prefix + string.Concat(Key.Select(letter => char.IsUpper(letter) ? $"_{letter}" : $"{char.ToUpperInvariant(letter)}"));

    /// <summary>The value when nothing is said.</summary>
    public string Usual => UsualWords ?? Show(new WorkerSettings());

    /// <summary>A text.</summary>
    public static Setting Text(string key, string flag, string value, string about, Func<WorkerSettings, string, WorkerSettings> set, Func<WorkerSettings, string?> get) =>
        new(key, flag, value, SettingKind.Text, about, (at, now) => at.AsText(2000) is { } text ? set(now, text) : now, now => get(now) ?? "none");

    /// <summary>A list of texts; one text alone is a list of one.</summary>
    public static Setting List(
        string key, string flag, string value, string about, Func<WorkerSettings, IReadOnlyList<string>, WorkerSettings> set, Func<WorkerSettings, IReadOnlyList<string>> get) =>
        new(
            key,
            flag,
            value,
            SettingKind.List,
            about,
            (at, now) =>
            {
                IReadOnlyList<JsonCursor>? items = at.Element.ValueKind == JsonValueKind.String ? [at] : at.AsList(max: 50, allowed: "a list of texts");
                return items is null ? now : set(now, [.. items.Select(item => item.AsText(500)).OfType<string>()]);
            },
            now => get(now) is { Count: > 0 } list ? string.Join(' ', list) : "none");

    /// <summary>A whole number.</summary>
    public static Setting Whole(
        string key, string flag, string value, string about, int min, int max, Func<WorkerSettings, int, WorkerSettings> set, Func<WorkerSettings, int> get) =>
        new(
            key,
            flag,
            value,
            SettingKind.Number,
            $"{about} From {min} to {max}.",
            (at, now) => at.AsWhole(min, max) is { } number ? set(now, (int)number) : now,
            now => get(now).ToString(CultureInfo.InvariantCulture));

    /// <summary>A number.</summary>
    public static Setting Number(
        string key, string flag, string value, string about, NumberRange range, Func<WorkerSettings, double, WorkerSettings> set, Func<WorkerSettings, double> get) =>
        new(
            key,
            flag,
            value,
            SettingKind.Number,
            string.Create(CultureInfo.InvariantCulture, $"{about} From {range.Min} to {range.Max} {range.Unit}."),
            (at, now) => at.AsNumber(range) is { } number ? set(now, number) : now,
            now => get(now).ToString(CultureInfo.InvariantCulture));

    /// <summary>True or false; a flag without a value means true.</summary>
    public static Setting YesNo(string key, string flag, string about, Func<WorkerSettings, bool, WorkerSettings> set, Func<WorkerSettings, bool> get) =>
        new(key, flag, "true|false", SettingKind.YesNo, about, (at, now) => at.AsFlag() is { } yes ? set(now, yes) : now, now => get(now) ? "true" : "false");

    /// <summary>The JSON of a value written as plain text, so that variables and flags are read like the file.</summary>
    public JsonElement Element(string text) => Kind switch
    {
        SettingKind.Number when IsNumber(text) => Parse(text.Trim()),
        SettingKind.YesNo when text.Trim() is "true" or "false" => Parse(text.Trim()),
        SettingKind.YesNo when text.Length == 0 => Parse("true"),
        SettingKind.List => JsonSerializer.SerializeToElement(text.Split([' ', ';', ','], StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)),
        _ => JsonSerializer.SerializeToElement(text),
    };

    private static bool IsNumber(string text)
    {
        try
        {
            return Parse(text.Trim()).ValueKind == JsonValueKind.Number;
        }
        catch (JsonException)
        {
            return false;
        }
    }

    private static JsonElement Parse(string json)
    {
        using JsonDocument document = JsonDocument.Parse(json);
        return document.RootElement.Clone();
    }
}

/// <summary>What stands at a setting.</summary>
internal enum SettingKind
{
    /// <summary>Text.</summary>
    Text,

    /// <summary>A list of texts.</summary>
    List,

    /// <summary>A number.</summary>
    Number,

    /// <summary>True or false.</summary>
    YesNo,
}
