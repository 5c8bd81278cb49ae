using System.Globalization;

namespace XoverOpt.Workshop.Purchasing;

/// <summary>The plain answer to "can we build so many sets by that day?".</summary>
public static class PartsAnswer
{
    /// <summary>The answer, a sentence or two.</summary>
    /// <param name="list">The parts.</param>
    /// <param name="today">For a list of several builds: the sets of the best mix that can be built today.</param>
    public static string Of(PartsList list, int? today = null)
    {
        PartsOrder order = list.Order;
        string sets = Sets(order.Sets);
        string last = string.Join(" and ", list.Lines.Where(line => line.HoldsUp).Select(line => line.Part));
        int possible = today ?? list.SetsToday ?? 0;
        string now = $"From what is there today {(possible == 0 ? "no set" : Sets(possible))} can be built.";
        if (list.Lines.All(line => line.Shortage == 0))
        {
            return $"Yes: every part of {sets} is on the shelf.";
        }

        if (list.Complete is not { } complete)
        {
            string[] undated = [.. list.Lines.Where(line => line.Arrives is null).Select(line => line.Part)];
            return $"It cannot be told: {string.Join(", ", undated)} {(undated.Length == 1 ? "is" : "are")} short and nothing says how long more would take. {now}";
        }

        if (order.NeededBy is not { } day)
        {
            return $"The last part, {last}, arrives on {Day(complete)} if the order goes out on {Day(order.Today)}. {now}";
        }

        if (complete <= day)
        {
            return $"Yes, if the order goes out by {Day(list.OrderBy!.Value)}: ordered on {Day(order.Today)}, the last part, {last}, arrives on {Day(complete)}. {now}";
        }

        int late = complete.DayNumber - day.DayNumber;
        string inTime = list.SetsInTime is > 0 and { } some && some > list.SetsToday ? $" By then the parts of {Sets(some)} are there." : "";
        return $"No: {last} arrives on {Day(complete)}, {late.ToString(CultureInfo.InvariantCulture)} {(late == 1 ? "day" : "days")} late.{inTime} {now}";
    }

    private static string Sets(int sets) => sets == 1 ? "1 set" : $"{sets.ToString(CultureInfo.InvariantCulture)} sets";

    private static string Day(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
