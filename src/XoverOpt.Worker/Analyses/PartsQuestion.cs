using System.Globalization;
using XoverOpt.Search;
using XoverOpt.Worker.Api;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Worker.Analyses;

/// <summary>What is asked of the parts of a build, by option or query.</summary>
/// <param name="Sets">How many sets; null for as many as the job asks for.</param>
/// <param name="By">The day by which all parts must be there; null where none is set.</param>
/// <param name="OrderOn">The day on which the order goes out; null for today.</param>
/// <param name="EarpiecesPerSet">2 for a left and a right; null for what the job says.</param>
/// <param name="CutLossMm">Tubing lost at each cut, mm.</param>
internal sealed record PartsQuestion(int? Sets = null, DateOnly? By = null, DateOnly? OrderOn = null, int? EarpiecesPerSet = null, decimal CutLossMm = PartsOrder.UsualCutLossMm)
{
    /// <summary>What a day must look like.</summary>
    public const string DayWords = "a day such as 2026-12-15";

    /// <summary>What a number of sets may be.</summary>
    public static readonly string SetsWords = string.Create(CultureInfo.InvariantCulture, $"a whole number from 1 to {BenchPlanFile.MostSets}");

    /// <summary>The names of the query.</summary>
    public static IReadOnlyList<string> Names { get; } = ["sets", "by", "orderOn", "earpiecesPerSet", "cutLossMm"];

    /// <summary>Reads a query; what is wrong is added to <paramref name="faults"/>.</summary>
    public static PartsQuestion Read(IQueryCollection query, List<FaultView> faults)
    {
        PartsQuestion usual = new();
        return new(
            Whole("sets", BenchPlanFile.MostSets),
            Day("by"),
            Day("orderOn"),
            Whole("earpiecesPerSet", 16),
            Amount("cutLossMm", 100) ?? usual.CutLossMm);

        int? Whole(string key, int max) => Read<int>(key, $"a whole number from 1 to {max.ToString(CultureInfo.InvariantCulture)}", text =>
            int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out int number) && number >= 1 && number <= max ? number : null);

        DateOnly? Day(string key) => Read(key, DayWords, BenchPlanFile.Day);

        decimal? Amount(string key, decimal max) => Read<decimal>(key, $"a number from 0 to {max.ToString(CultureInfo.InvariantCulture)}", text =>
            decimal.TryParse(text, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out decimal number) && number <= max ? number : null);

        T? Read<T>(string key, string allowed, Func<string, T?> parse)
            where T : struct
        {
            string[] given = [.. query[key].OfType<string>()];
            T? value = given is [{ } one] ? parse(one) : null;
            if (given.Length > 0 && value is null)
            {
                faults.Add(new(key, string.Join(", ", given), allowed));
            }

            return value;
        }
    }

    /// <summary>The question as a query, without the question mark.</summary>
    public string ToQuery() => string.Create(CultureInfo.InvariantCulture, $"cutLossMm={CutLossMm}")
        + (EarpiecesPerSet is { } count ? string.Create(CultureInfo.InvariantCulture, $"&earpiecesPerSet={count}") : "")
        + (Sets is { } sets ? string.Create(CultureInfo.InvariantCulture, $"&sets={sets}") : "")
        + (By is { } by ? $"&by={Text(by)}" : "")
        + (OrderOn is { } on ? $"&orderOn={Text(on)}" : "");

    /// <summary>How the list is reckoned.</summary>
    /// <param name="ofJob">The limits of the job, which say how many sets it asks for and what a set is.</param>
    /// <param name="clock">Tells today.</param>
    public PartsOrder Order(Limits ofJob, TimeProvider clock) =>
        new(Sets ?? ofJob.Sets, EarpiecesPerSet ?? ofJob.EarpiecesPerSet, CutLossMm, OrderOn ?? DateOnly.FromDateTime(clock.GetLocalNow().DateTime), By);

    private static string Text(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
