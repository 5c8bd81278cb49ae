using System.Globalization;
using System.Text.Json.Nodes;

namespace XoverOpt.Worker.Pages;

/// <summary>
/// A job as a form: what stands in the fields becomes job/1, and what the reader of jobs finds wrong goes back beside the field it came from.
/// What cannot be read as a number goes into the job as text, so that there is one judge of what is allowed.
/// </summary>
internal sealed class JobForm
{
    /// <summary>Ways the form has room for.</summary>
    public const int Ways = 4;

    private readonly Dictionary<string, string> _given;

    private JobForm(Dictionary<string, string> given) => _given = given;

    /// <summary>Fields about the whole, by group.</summary>
    public static IReadOnlyList<(string Name, IReadOnlyList<JobField> Fields)> Groups { get; } =
    [
        ("Job",
        [
            new("name", "name", "", "/name", JobFieldKind.Text, "New monitor"),
            new("note", "note", "", "/note", JobFieldKind.Text),
        ]),
        ("Target",
        [
            new("points", "points: frequency in Hz and level in dB, a line each", "", "/target/points", JobFieldKind.Points, "20 6\n50 6\n125 1\n160 0\n500 0\n1000 1\n2800 8\n5000 5\n8000 2\n12000 1\n16000 -4"),
            new("bandLow", "band from", "Hz", "/target/bandHz/0", JobFieldKind.Number, "20"),
            new("bandHigh", "band to", "Hz", "/target/bandHz/1", JobFieldKind.Number, "16000"),
            new("tolerance", "tolerance either side", "dB", "/target/toleranceDb", JobFieldKind.Number, "2.5"),
            new("level", "the curve is", "", "/target/level/kind", JobFieldKind.Choice, "relative", "relative: its shape; absolute: SPL at the drive below"),
        ]),
        ("Phase and arrival",
        [
            new("phaseLimit", "excess phase at most", "°", "/phase/limitDeg", JobFieldKind.Number, "10"),
            new("arrivalLimit", "ways apart at most", "µs", "/phase/arrivalLimitUs", JobFieldKind.Number, "10"),
        ]),
        ("Drive",
        [
            new("millivolt", "source voltage", "mV RMS", "/drive/millivoltRms", JobFieldKind.Number, "100"),
            new("sourceOhm", "source resistance", "Ω", "/drive/sourceOhm", JobFieldKind.Number, "1"),
        ]),
        ("Limits; empty for none",
        [
            new("maxReceivers", "receivers at most", "", "/limits/maxReceivers", JobFieldKind.Number, "6"),
            new("minImpedance", "impedance at least", "Ω", "/limits/minImpedanceOhm", JobFieldKind.Number, "8"),
            new("maxCost", "price of the parts of one earpiece at most", "", "/limits/maxPartsCost", JobFieldKind.Number),
            new("minSpl", "SPL at 100 mV and 500 Hz at least", "dB", "/limits/minSplAt100mV", JobFieldKind.Number),
            new("volume", "room for the receivers at most", "mm³", "/limits/shellVolumeMm3", JobFieldKind.Number),
            new("sets", "sets the stock must serve", "", "/limits/sets", JobFieldKind.Number, "1"),
            new("stockOnly", "only what is in stock", "", "/limits/stockOnly", JobFieldKind.Flag),
        ]),
        ("How hard to look",
        [
            new("evaluations", "evaluations at most", "", "/effort/evaluations", JobFieldKind.Number, "2000000"),
            new("minutes", "minutes at most", "min", "/effort/minutes", JobFieldKind.Number, "60"),
            new("seed", "seed of all randomness", "", "/effort/seed", JobFieldKind.Number, "1"),
            new("keep", "builds to keep", "", "/effort/keep", JobFieldKind.Number, "20"),
        ]),
    ];

    /// <summary>Every field, those of the ways included.</summary>
    public static IReadOnlyList<JobField> All { get; } = [.. Groups.SelectMany(group => group.Fields), .. Enumerable.Range(0, Ways).SelectMany(WayFields)];

    /// <summary>The form as it is to begin with.</summary>
    public static JobForm Fresh() => new(All.ToDictionary(field => field.Id, field => field.Usual));

    /// <summary>A form that was sent.</summary>
    public static JobForm Of(IFormCollection sent) => new(All.ToDictionary(field => field.Id, field => sent[field.Id].ToString().ReplaceLineEndings("\n")));

    /// <summary>The fields of a way; one without a name is not used.</summary>
    public static IReadOnlyList<JobField> WayFields(int way)
    {
        (string name, string tags, string counts, string networks) = way switch
        {
            0 => ("low", "low", "1, 2", "series-resistor, shunt-capacitor\nseries-resistor, shunt-capacitor, series-resistor"),
            1 => ("mid", "mid", "1, 2", "series-resistor\nseries-resistor, series-capacitor\nseries-resistor, series-capacitor, shunt-resistor"),
            2 => ("high", "high", "1, 2", "series-capacitor\nseries-resistor, series-capacitor\nseries-resistor, series-capacitor, shunt-resistor"),
            _ => ("", "", "", ""),
        };
        string id = $"way{way}-", at = FormattableString.Invariant($"/ways/{way}");
        return
        [
            new(id + "name", "name", "", at + "/name", JobFieldKind.Text, name),
            new(id + "tags", "receivers tagged", "", at + "/receivers/tags", JobFieldKind.Words, tags),
            new(id + "counts", "how many alike", "", at + "/counts", JobFieldKind.Numbers, counts),
            new(id + "polarity", "leads", "", at + "/polarity", JobFieldKind.Words, name.Length > 0 ? "normal" : ""),
            new(id + "shortest", "tube from", "mm", at + "/tube/lengthMm/0", JobFieldKind.Number, name.Length > 0 ? "8" : ""),
            new(id + "longest", "tube to", "mm", at + "/tube/lengthMm/1", JobFieldKind.Number, name.Length > 0 ? "20" : ""),
            new(id + "bores", "bores, empty for all", "mm", at + "/tube/boresMm", JobFieldKind.Numbers),
            new(id + "networks", "networks from the socket, a line each", "", at + "/networks", JobFieldKind.Networks, networks),
        ];
    }

    /// <summary>What stands in a field.</summary>
    public string this[JobField field] => _given[field.Id];

    /// <summary>The job.</summary>
    public JsonObject Job()
    {
        JsonObject job = new() { ["format"] = "job/1", ["inventory"] = "../driverlib" };
        foreach (JobField field in Groups.SelectMany(group => group.Fields))
        {
            Put(job, field.Pointer, Value(field));
        }

        JsonArray ways = [];
        foreach (int way in UsedWays())
        {
            JsonObject one = [];
            foreach (JobField field in WayFields(way))
            {
                Put(one, field.Pointer[FormattableString.Invariant($"/ways/{way}").Length..], Value(field));
            }

            ways.Add(one);
        }

        if (ways.Count > 0)
        {
            job["ways"] = ways;
        }

        return job;
    }

    /// <summary>The field a fault belongs to, and the line in it where it has lines; null where the form has none such.</summary>
    /// <param name="pointer">Where in the job.</param>
    public (JobField Field, int? Line)? FieldAt(string pointer)
    {
        string[] parts = pointer.Split('/');
        if (parts is ["", "ways", var index, ..] && int.TryParse(index, NumberStyles.None, CultureInfo.InvariantCulture, out int used) && used < UsedWays().Count)
        {
            parts[2] = UsedWays()[used].ToString(CultureInfo.InvariantCulture);
        }

        string at = string.Join('/', parts);
        JobField? field = All.Where(one => at == one.Pointer || at.StartsWith(one.Pointer + "/", StringComparison.Ordinal)).MaxBy(one => one.Pointer.Length)

            // A fault of a whole band or length stands beside its first edge.
            ?? (at.Length > 1 ? All.FirstOrDefault(one => one.Pointer == at + "/0") ?? All.FirstOrDefault(one => one.Pointer.StartsWith(at + "/", StringComparison.Ordinal)) : null);
        if (field is null)
        {
            return null;
        }

        bool lines = field.Kind is JobFieldKind.Points or JobFieldKind.Networks;
        return (field, lines && at.Length > field.Pointer.Length && int.TryParse(at[(field.Pointer.Length + 1)..].Split('/')[0], NumberStyles.None, CultureInfo.InvariantCulture, out int item) ? LineOf(this[field], item) : null);
    }

    private List<int> UsedWays() => [.. Enumerable.Range(0, Ways).Where(way => WayFields(way).Any(field => field.Id.EndsWith("name", StringComparison.Ordinal) && this[field].Trim().Length > 0))];

    private JsonNode? Value(JobField field)
    {
        string text = this[field].Trim();
        return field.Kind switch
        {
            JobFieldKind.Flag => text.Length > 0 ? true : null,
            _ when text.Length == 0 => null,
            JobFieldKind.Number => Number(text),
            JobFieldKind.Words => new JsonArray([.. Split(text).Select(word => (JsonNode)word)]),
            JobFieldKind.Numbers => new JsonArray([.. Split(text).Select(Number)]),
            JobFieldKind.Networks => new JsonArray([.. Lines(text).Select(line => (JsonNode)new JsonArray([.. Split(line).Select(word => (JsonNode)word)]))]),
            JobFieldKind.Points => new JsonArray([.. Lines(text).Select(Point)]),
            _ => text,
        };
    }

    private static JsonNode Point(string line)
    {
        string[] cells = line.Split([' ', '\t', ',', ';'], StringSplitOptions.RemoveEmptyEntries);
        return cells.Length == 2 ? new JsonObject { ["hz"] = Number(cells[0]), ["db"] = Number(cells[1]) } : line;
    }

    private static JsonNode Number(string text)
    {
        string plain = text.Replace('−', '-');
        return long.TryParse(plain, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out long whole) ? whole
            : double.TryParse(plain, NumberStyles.Float, CultureInfo.InvariantCulture, out double number) && double.IsFinite(number) ? number
            : text;
    }

    private static string[] Split(string text) => text.Split([',', ';'], StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);

    private static string[] Lines(string text) => text.Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);

    /// <summary>The line of the item of that number; empty lines are none.</summary>
    private static int LineOf(string text, int item) =>
        text.Split('\n').Select((line, k) => (line, Number: k + 1)).Where(line => line.line.Trim().Length > 0).Select(line => line.Number).ElementAtOrDefault(item);

    private static void Put(JsonObject whole, string pointer, JsonNode? value)
    {
        if (value is null)
        {
            return;
        }

        string[] keys = pointer[1..].Split('/');
        JsonNode at = whole;
        for (int k = 0; k < keys.Length; k++)
        {
            bool last = k == keys.Length - 1, inList = !last && keys[k + 1] is "0" or "1";
            if (at is JsonArray list)
            {
                list.Add(value);
                return;
            }

            if (last)
            {
                at[keys[k]] = value;
                return;
            }

            at = at[keys[k]] ??= inList ? new JsonArray() : new JsonObject();
        }
    }
}
