using XoverOpt.Acoustics.Figures;

namespace XoverOpt.Search;

/// <summary>Which part of the cost weighs most, and where on the frequency axis.</summary>
internal static class WhatCosts
{
    /// <summary>In words, without a gain: nothing on the lists would change it much.</summary>
    /// <param name="built">The build.</param>
    /// <param name="workspace">Where it is evaluated.</param>
    /// <param name="nothingBinds">Whether no list and no limit was found to hold it back.</param>
    public static Advice Of(Candidate built, CostWorkspace workspace, bool nothingBinds)
    {
        CostFigures figures = CostFunction.Evaluate(built, workspace, null);
        CostBreakdown cost = figures.Cost;
        (double Part, string Words)[] parts =
        [
            (cost.Magnitude, Magnitude(workspace)),
            (cost.Phase, Phase(workspace)),
            (cost.Arrival, FormattableString.Invariant($"the ways' arrival, {figures.ArrivalSpread * 1e6:0.#} µs apart")),
            (cost.Summing, Summing(built, workspace)),
            (cost.Penalty, "limits of the job that are broken or nearly so"),
        ];
        (double part, string words) = parts.MaxBy(item => item.Part);
        string share = FormattableString.Invariant($"{100 * part / cost.Total:0} % of the cost is {words}");
        return new(AdviceKind.Receivers, null, nothingBinds ? $"no list or limit binds, the receivers themselves set what can be had; {share}" : share);
    }

    private static string Magnitude(CostWorkspace workspace)
    {
        MagnitudeError band = workspace.Tables.Magnitude;
        int at = Largest(band.From, band.To, k => band.Band[k] > 0 ? Math.Abs(workspace.Error[k]) : 0);
        return FormattableString.Invariant($"magnitude, largest error {workspace.Error[at]:+0.0;-0.0} dB at {AdviceWords.Hz(workspace.Tables.Grid.Hz[at])}");
    }

    private static string Phase(CostWorkspace workspace)
    {
        PhaseDeviation band = workspace.Tables.Phase;
        int at = Largest(band.From, band.To, k => band.Weights[k] > 0 ? Math.Abs(workspace.Deviation[k]) : 0);
        return FormattableString.Invariant(
            $"phase, largest deviation {workspace.Deviation[at] * 180 / Math.PI:+0.0;-0.0}° at {AdviceWords.Hz(workspace.Tables.Grid.Hz[at])}");
    }

    private static string Summing(Candidate built, CostWorkspace workspace)
    {
        if (built.Ways.Length < 2)
        {
            return "summing";
        }

        MagnitudeError band = workspace.Tables.Magnitude;
        int n = workspace.Tables.Grid.Count, at = Largest(band.From, band.To, k => band.Band[k] > 0 ? workspace.Loss[k] : 0);
        string[] pair = [.. Enumerable.Range(0, built.Ways.Length)
            .OrderByDescending(i => workspace.Fractions[(i * n) + at]).Take(2).Order()
            .Select(i => workspace.Tables.Problem.Ways[i].Name)];
        return FormattableString.Invariant(
            $"the {pair[0]} and {pair[1]} ways working against each other, most around {AdviceWords.Hz(workspace.Tables.Grid.Hz[at])}");
    }

    private static int Largest(int from, int to, Func<int, double> of) => Enumerable.Range(from, to - from).MaxBy(of);
}
