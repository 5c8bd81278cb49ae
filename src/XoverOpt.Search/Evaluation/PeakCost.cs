using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>
/// What missing peak SPL costs: (dB missing)² from 0.05 dB above the limit on, at each frequency where the job asks for a level that must be reachable before any receiver
/// meets a limit. A receiver that states no limit counts as <see cref="UnknownHeadroomDb"/> short: nobody knows how loud it goes.
/// </summary>
internal static class PeakCost
{
    /// <summary>dB.</summary>
    public const double UnknownHeadroomDb = 3;

    // Per volt at the socket: what the source's resistance does to the voltage has no part in headroom.
    private static readonly Source OneVolt = new(1, 0);

    /// <summary>The penalty.</summary>
    public static double Of(
        ReadOnlySpan<KernelWay> ways,
        CostWorkspace workspace,
        NormalEquations? equations,
        ReadOnlySpan<KernelParameter> parameters,
        ReadOnlySpan<double> scale)
    {
        if (workspace.Tables.Peaks is not { } peaks || ways.IsEmpty)
        {
            return 0;
        }

        IReadOnlyList<PeakSpl> wanted = workspace.Tables.Problem.Limits.MinPeakSpl;
        foreach (KernelWay way in ways)
        {
            if (way.Receiver.Receiver.TravelLimit is null && way.Receiver.Receiver.CurrentLimit is null)
            {
                return wanted.Count * UnknownHeadroomDb * UnknownHeadroomDb;
            }
        }

        KernelWorkspace kernel = workspace.PeakKernel!;
        ReadOnlySpan<KernelWay> there = workspace.AtPeaks(ways);
        EarpieceKernel.Evaluate(there, peaks.Ear, OneVolt, kernel, parameters, scale);
        double penalty = 0;
        Span<double> row = stackalloc double[parameters.Length];
        for (int k = 0; k < wanted.Count; k++)
        {
            HeadroomKernel.Limit limit = HeadroomKernel.At(there, kernel, peaks.Ear, k);
            double missing = Math.Max(wanted[k].Db + CostFunction.LevelMargin - limit.Spl, 0);
            penalty += missing * missing;
            if (missing > 0 && equations is not null && parameters.Length > 0)
            {
                HeadroomKernel.Tangent(there, kernel, peaks.Ear, parameters, scale, k, limit, row);
                equations.Add(-missing, row);
            }
        }

        return penalty;
    }
}
