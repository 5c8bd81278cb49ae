namespace XoverOpt.Search;

/// <summary>
/// The whole cost of a layout at a point of its unit cube: what a search makes small, for whoever else wants to make it small.
/// For one thread.
/// </summary>
/// <param name="tables">The problem on a grid.</param>
/// <param name="space">Its layouts.</param>
/// <param name="real">Take for each value the nearest that can be bought or cut.</param>
public sealed class PointCost(ProblemTables tables, LayoutSpace space, bool real)
{
    /// <summary>What a layout that no limit allows costs beyond its response; again as much for each limit it exceeds by its own size.</summary>
    public const double Forbidden = 1000;

    private const int MostPrepared = 4096;
    private readonly CostWorkspace _workspace = new(tables);
    private readonly Dictionary<string, (Candidate Candidate, double Surcharge)> _prepared = [];

    /// <summary>
    /// The cost: <see cref="CostFunction"/> and, for a layout that <see cref="LayoutSpace.Allows"/> refuses, <see cref="Forbidden"/> ·
    /// (1 + excess) so that less excess shows. Infinite where it cannot be computed.
    /// </summary>
    /// <param name="layout">The layout.</param>
    /// <param name="unit">Its continuous values on [0, 1], in the order of <see cref="Candidate.Ranges"/>.</param>
    public double At(Layout layout, ReadOnlySpan<double> unit)
    {
        (Candidate candidate, double surcharge) = Prepare(layout);
        if (real)
        {
            for (int q = 0; q < unit.Length; q++)
            {
                candidate.Hold(q, candidate.Ranges[q].Nearest(candidate.Ranges[q].Value(unit[q])));
            }
        }
        else
        {
            candidate.SetAll(unit);
        }

        double cost = CostFunction.Evaluate(candidate, _workspace, null).Cost.Total + surcharge;
        return double.IsFinite(cost) ? cost : double.PositiveInfinity;
    }

    private (Candidate Candidate, double Surcharge) Prepare(Layout layout)
    {
        string key = layout.Key;
        if (!_prepared.TryGetValue(key, out (Candidate Candidate, double Surcharge) prepared))
        {
            if (_prepared.Count == MostPrepared)
            {
                _prepared.Clear();
            }

            prepared = (new Candidate(tables, space, layout), space.Allows(layout) ? 0 : Forbidden * (1 + Excess(layout)));
            _prepared.Add(key, prepared);
        }

        return prepared;
    }

    /// <summary>By how much of themselves the limits that concern receivers alone are exceeded, summed.</summary>
    private double Excess(Layout layout)
    {
        Limits limits = tables.Problem.Limits;
        double receivers = 0, volume = 0, price = 0, missing = 0;
        var need = new Dictionary<string, (int Count, Supply? Supply)>();
        for (int way = 0; way < layout.Options.Length; way++)
        {
            WayOption option = space.Option(layout, way);
            StockReceiver receiver = tables.Problem.Ways[way].Receivers[option.Receiver];
            receivers += option.Count;
            volume += option.Count * (receiver.Body?.Volume ?? 0);
            price += option.Count * (double)(receiver.Supply?.UnitPrice ?? 0);
            string part = receiver.Receiver.PartNumber;
            need[part] = (need.GetValueOrDefault(part).Count + (option.Count * limits.Earpieces), receiver.Supply);
        }

        if (limits.StockOnly)
        {
            foreach ((int count, Supply? supply) in need.Values)
            {
                missing += Math.Max(count - (double)(supply?.Stock ?? 0), 0) / count;
            }
        }

        return Beyond(receivers, limits.MaxReceivers) + Beyond(volume, limits.ShellVolume) + Beyond(price, (double?)limits.MaxPartsCost) + missing;
    }

    private static double Beyond(double found, double? limit) => found > limit ? (found - limit.Value) / Math.Max(limit.Value, 1e-12) : 0;
}
