using XoverOpt.Worker.Analyses;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Worker.Text;

/// <summary>A bench plan as purchasing reads it.</summary>
internal static class BenchPlanText
{
    /// <summary>The lines.</summary>
    public static IEnumerable<string> Lines(BenchPlanView view)
    {
        BenchPlan plan = view.Plan;
        yield return FormattableString.Invariant($"{view.Name}: {plan.Builds.Count} builds, {plan.Together.Order.Sets} sets in all");
        yield return "";
        yield return "  " + view.Answer;
        yield return "";
        foreach (string line in TextTable.Lines(
            ["#", "<build", "sets wanted", "priority", "today in the mix", "today by itself"],
            plan.Builds.Select((build, b) => (IReadOnlyList<string>)[PartsText.Count(b + 1), build.Name, PartsText.Count(build.Sets), PartsText.Count(build.Priority), PartsText.Count(build.SetsToday), PartsText.Count(build.Alone.SetsToday ?? 0)])))
        {
            yield return line;
        }

        yield return FormattableString.Invariant($"The mix, {plan.SetsToday} sets from what is there today: {view.Solver}{(plan.Proven ? "" : "; not proven to be the best")}.");
        yield return "";
        foreach (PartConflict conflict in plan.Conflicts)
        {
            yield return $"{conflict.Part} is fought for: {PartsText.Count(conflict.Available)} to be had, {PartsText.Count(conflict.Need)} needed ("
                + string.Join(", ", conflict.Claims.Select(claim => $"{claim.Build} {PartsText.Count(claim.Need)}")) + ")";
        }

        yield return plan.Conflicts.Count == 0 ? "No two builds fight for a part." : "";
        if (plan.Conflicts.Count == 0)
        {
            yield return "";
        }

        foreach (string line in PartsText.Table(plan.Together, Number).Append("").Concat(PartsText.Totals(plan.Together)))
        {
            yield return line;
        }

        // Their numbers in the plan: the names of builds are too long for a column.
        string Number(string name) => PartsText.Count(plan.Builds.TakeWhile(build => build.Name != name).Count() + 1);
    }
}
