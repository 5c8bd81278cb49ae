using System.Globalization;
using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>Reads the small parts of a job: drive, ear, limits, passives, cost, effort, schedule, variant.</summary>
internal static class SettingsReader
{
    /// <summary>Reads "drive".</summary>
    public static Source Drive(ObjectReader? reader)
    {
        double millivolt = reader?.Number("millivoltRms", NumberRange.Positive(10_000, "mV")) ?? JobDefaults.MillivoltRms;
        double ohm = reader?.Number("sourceOhm", NumberRange.NotNegative(1000, "Ω")) ?? JobDefaults.SourceOhm;
        reader?.Finish();
        return new Source(Units.FromMillivolt(millivolt), ohm);
    }

    /// <summary>Reads "ear".</summary>
    public static Ear Ear(ObjectReader? reader)
    {
        _ = reader?.Choice("simulator", [("iec60318-4", true)]);
        int set = reader?.Choice("elements", [.. EarSimulator.Sets.Select((one, k) => (one.Name, k))]) ?? 0;
        double length = reader?.Number("residualLengthMm", NumberRange.NotNegative(30, "mm")) ?? 0;
        double bore = reader?.Number("residualBoreMm", new(1, 15, "mm")) ?? JobDefaults.ResidualBoreMm;
        double airTemp = reader?.Number("airTempC", new(10, 40, "°C")) ?? JobDefaults.AirTempC;
        Leak? leak = null;
        if (reader?.Object("leak") is { } leakReader)
        {
            leak = new Leak(
                Units.FromOhmCgs(leakReader.RequiredNumber("resistanceOhmCgs", NumberRange.Positive(1e7, "cgs ohm"))),
                leakReader.Number("massKgPerM4", NumberRange.NotNegative(1e7, "kg/m⁴")) ?? 0);
            leakReader.Finish();
        }

        reader?.Finish();
        return new Ear(EarSimulator.Sets[set], Units.FromMm(length), Units.FromMm(bore), leak, Air.At(airTemp));
    }

    /// <summary>Reads "limits".</summary>
    public static Limits Limits(ObjectReader? reader)
    {
        if (reader is null)
        {
            return new Limits { Sets = JobDefaults.Sets, EarpiecesPerSet = JobDefaults.EarpiecesPerSet };
        }

        List<PeakSpl> peaks = [];
        foreach (JsonCursor item in reader.List("minPeakSpl", max: 100) ?? [])
        {
            if (item.AsObject("an object such as { \"hz\": 50, \"db\": 115 }") is { } peak)
            {
                peaks.Add(new PeakSpl(
                    peak.RequiredNumber("hz", TargetReader.BandEdge),
                    peak.RequiredNumber("db", NumberRange.NotNegative(200, "dB"))));
                peak.Finish();
            }
        }

        Limits limits = new()
        {
            MaxReceivers = (int?)reader.Whole("maxReceivers", 1, 128),
            MinImpedance = reader.Number("minImpedanceOhm", NumberRange.Positive(10_000, "Ω")),
            MaxPartsCost = reader.Optional("maxPartsCost")?.AsAmount(1_000_000),
            MinSplAt100mV = reader.Number("minSplAt100mV", NumberRange.NotNegative(200, "dB")),
            MinPeakSpl = peaks,
            ShellVolume = reader.Number("shellVolumeMm3", NumberRange.Positive(1e6, "mm³")) is { } mm3 ? Units.FromMm3(mm3) : null,
            Sets = (int)(reader.Whole("sets", 1, 100_000) ?? JobDefaults.Sets),
            EarpiecesPerSet = (int)(reader.Whole("earpiecesPerSet", 1, 16) ?? JobDefaults.EarpiecesPerSet),
            StockOnly = reader.Optional("stockOnly")?.AsFlag() ?? false,
        };
        reader.Finish();
        return limits;
    }

    /// <summary>Reads "passives": for each kind "stock", "none", a series with its range, or a list of values.</summary>
    public static PassiveStock Passives(ObjectReader? reader, PassiveStock held, StockRule rule)
    {
        IReadOnlyList<StockValue>[] lists = [.. PassiveKind.All.Select(kind => Kind(kind, reader?.Optional(kind.Plural), kind.In(held), rule))];
        reader?.Finish();
        return new PassiveStock(lists[0], lists[1], lists[2]);
    }

    /// <summary>Reads "cost".</summary>
    public static CostWeights Cost(ObjectReader? reader)
    {
        NumberRange range = NumberRange.NotNegative(1000);
        CostWeights usual = new();
        CostWeights cost = new(
            reader?.Number("magnitude", range) ?? usual.Magnitude,
            reader?.Number("phase", range) ?? usual.Phase,
            reader?.Number("arrival", range) ?? usual.Arrival,
            reader?.Number("summing", range) ?? usual.Summing);
        if (cost is { Magnitude: 0, Phase: 0, Arrival: 0, Summing: 0 })
        {
            reader!.At.Refuse("at least one weight above 0");
        }

        reader?.Finish();
        return cost;
    }

    /// <summary>Reads "effort".</summary>
    public static Effort Effort(ObjectReader? reader)
    {
        Effort effort = new(
            reader?.Whole("evaluations", 1, 1_000_000_000_000) ?? JobDefaults.Evaluations,
            reader?.Number("minutes", NumberRange.Positive(1_000_000, "minutes")),
            (ulong)(reader?.Whole("seed", 0, 1L << 53) ?? JobDefaults.Seed),
            (int)(reader?.Whole("keep", 1, 1000) ?? JobDefaults.Keep))
        {
            EndAfter = reader?.Whole("endAfter", 0, 1_000_000_000_000),
        };
        reader?.Finish();
        return effort;
    }

    /// <summary>Reads "robust".</summary>
    public static RobustRankingGoal? Robust(ObjectReader? reader)
    {
        if (reader is null)
        {
            return null;
        }

        RobustRankingGoal usual = new();
        RobustRankingGoal goal = new(
            (int)(reader.Whole("samples", 50, 10_000) ?? usual.Samples),
            reader.Optional("spread")?.AsFlag() ?? usual.Spread,
            reader.Optional("ears")?.AsFlag() ?? usual.Ears,
            reader.Optional("sources")?.AsFlag() ?? usual.Sources,
            reader.Number("weight", NumberRange.Positive(1)) ?? usual.Weight);
        if (goal is { Spread: false, Ears: false, Sources: false })
        {
            reader.At.Refuse("at least one of \"spread\", \"ears\" and \"sources\" true", "Leave \"robust\" out to rank by the builds as drawn.");
        }

        reader.Finish();
        return goal;
    }

    /// <summary>Reads "schedule".</summary>
    public static JobSchedule Schedule(ObjectReader? reader)
    {
        if (reader is null)
        {
            return new JobSchedule();
        }

        JobSchedule schedule = new((int)(reader.Whole("priority", -JobSchedule.MostPriority, JobSchedule.MostPriority) ?? 0), Instant(reader, "notBefore"), Instant(reader, "deadline"), Address(reader, "notify"));
        if (schedule.Deadline <= schedule.NotBefore)
        {
            reader.Optional("deadline")!.Refuse("a time after notBefore");
        }

        reader.Finish();
        return schedule;
    }

    private static StockValue[] Kind(PassiveKind kind, JsonCursor? at, IReadOnlyList<StockValue> held, StockRule rule)
    {
        switch (at?.Element.ValueKind)
        {
            case null:
                return rule.All(held);
            case System.Text.Json.JsonValueKind.Object:
                ObjectReader reader = at.AsObject()!;
                IReadOnlyList<double> series = kind.ReadSeries(reader);
                reader.Finish();
                return rule.Listed(series, held);
            case System.Text.Json.JsonValueKind.Array:
                return rule.Listed(kind.ReadValues(at), held);
            case System.Text.Json.JsonValueKind.String:
                return at.AsChoice([("stock", true), ("none", false)]) == true ? rule.All(held) : [];
            default:
                at.Refuse("\"stock\", \"none\", a list of values, or an object with \"series\", a smallest and a largest value");
                return [];
        }
    }

    private static Uri? Address(ObjectReader reader, string key)
    {
        if (reader.Optional(key) is not { } at || at.AsText(1000) is not { } text)
        {
            return null;
        }

        if (Uri.TryCreate(text, UriKind.Absolute, out Uri? address) && address.Scheme is "http" or "https"
            && address.UserInfo.Length == 0 && address.Fragment.Length == 0)
        {
            return address;
        }

        at.Refuse("an address such as \"https://example.org/xoveropt\", http or https, without user name or fragment");
        return null;
    }

    private static DateTimeOffset? Instant(ObjectReader reader, string key)
    {
        if (reader.Optional(key) is not { } at || at.AsText(40) is not { } text)
        {
            return null;
        }

        string[] forms = ["yyyy-MM-dd'T'HH:mmK", "yyyy-MM-dd'T'HH:mm:ssK", "yyyy-MM-dd'T'HH:mm:ss.FFFFFFFK"];
        bool zoned = text.EndsWith('Z') || (text.Length > 6 && text[^6] is '+' or '-' && text[^3] == ':');
        if (zoned && DateTimeOffset.TryParseExact(text, forms, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out DateTimeOffset instant))
        {
            return instant;
        }

        at.Refuse("a time such as \"2030-05-31T18:00:00Z\" or \"2030-05-31T18:00:00+02:00\" (RFC 3339)");
        return null;
    }
}
