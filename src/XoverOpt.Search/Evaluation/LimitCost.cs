using System.Runtime.Intrinsics;
using XoverOpt.Acoustics.Figures;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>What too low an impedance and too little level cost.</summary>
internal static class LimitCost
{
    /// <summary>The penalty, the SPL at 100 mV and 500 Hz, dB, and the lowest impedance in the target band, Ω.</summary>
    public static (double Penalty, double Spl, double ImpedanceMin) Of(
        ReadOnlySpan<KernelWay> ways,
        CostWorkspace workspace,
        NormalEquations? equations,
        ReadOnlySpan<KernelParameter> parameters,
        ReadOnlySpan<double> scale)
    {
        (double penalty, double lowest) = Impedance(ways, workspace, equations, parameters, scale);
        ProblemTables tables = workspace.Tables;
        KernelWorkspace kernel = workspace.Kernel;
        int at = tables.At500Hz;
        double spl = SplAt(kernel, at, 0.1);
        double shortBy = Math.Max((tables.Problem.Limits.MinSplAt100mV ?? double.NegativeInfinity) + CostFunction.LevelMargin - spl, 0);
        if (shortBy > 0 && equations is not null && equations.Count > 0)
        {
            EarpieceKernel.AdmittanceTangents(ways, kernel, parameters, scale, at, at + 1);
            Span<double> row = stackalloc double[equations.Count];
            for (int p = 0; p < row.Length; p++)
            {
                row[p] = -MagnitudeError.DbPerNeper * kernel.SensitivityTangent(p, at, tables.Problem.Source);
            }

            equations.Add(shortBy, row);
        }

        return (penalty + (shortBy * shortBy), spl, lowest);
    }

    /// <summary>What too low an impedance costs, and the lowest in the band; derivatives only where it is too low.</summary>
    private static (double Penalty, double Lowest) Impedance(
        ReadOnlySpan<KernelWay> ways,
        CostWorkspace workspace,
        NormalEquations? equations,
        ReadOnlySpan<KernelParameter> parameters,
        ReadOnlySpan<double> scale)
    {
        KernelWorkspace kernel = workspace.Kernel;
        MagnitudeError band = workspace.Tables.Magnitude;
        double least = workspace.Tables.Problem.Limits.MinImpedance ?? 0, lowest = 1 / Math.Sqrt(LargestPower(kernel, band.From, band.To)), penalty = 0;
        if (!(lowest < least))
        {
            return (0, lowest);
        }

        Array.Clear(workspace.RowWeights);
        Array.Clear(workspace.RowResiduals);
        for (int k = band.From; k < band.To; k++)
        {
            double ohm = 1 / Math.Sqrt((kernel.AdmittanceRe[k] * kernel.AdmittanceRe[k]) + (kernel.AdmittanceIm[k] * kernel.AdmittanceIm[k]));
            if (ohm < least)
            {
                double missing = 1 - (ohm / least), weight = CostFunction.BandPenalty * band.Band[k];
                penalty += weight * missing * missing;
                workspace.RowWeights[k] = weight * ohm * ohm / (least * least);
                workspace.RowResiduals[k] = -weight * missing * ohm / least;
            }
        }

        if (equations is not null)
        {
            int from = BandSums.Start(band.From), to = BandSums.End(band.To);
            EarpieceKernel.AdmittanceTangents(ways, kernel, parameters, scale, from, to);
            for (int p = 0; p < parameters.Length; p++)
            {
                Span<double> tangent = kernel.Row(workspace.Tangents, p);
                for (int k = from; k < to; k++)
                {
                    tangent[k] = kernel.ImpedanceTangent(p, k);
                }
            }

            CostRows.Add(workspace, equations, band.From, band.To);
        }

        return (penalty, lowest);
    }

    /// <summary>The largest |Y|² in a band, S².</summary>
    private static double LargestPower(KernelWorkspace kernel, int from, int to)
    {
        double largest = 0;
        int k = from;
        Vector256<double> most = default;
        for (; k + 4 <= to; k += 4)
        {
            Vector256<double> re = Vector256.Create(kernel.AdmittanceRe.AsSpan(k, 4)), im = Vector256.Create(kernel.AdmittanceIm.AsSpan(k, 4));
            most = Vector256.Max(most, (re * re) + (im * im));
        }

        for (; k < to; k++)
        {
            largest = Math.Max(largest, (kernel.AdmittanceRe[k] * kernel.AdmittanceRe[k]) + (kernel.AdmittanceIm[k] * kernel.AdmittanceIm[k]));
        }

        return Math.Max(largest, Math.Max(Math.Max(most[0], most[1]), Math.Max(most[2], most[3])));
    }

    /// <summary>Eardrum SPL at a grid point for a voltage at the socket, dB re 20 µPa.</summary>
    public static double SplAt(KernelWorkspace kernel, int at, double volt) =>
        20 * Math.Log10(Math.Sqrt((kernel.PressurePerVoltRe[at] * kernel.PressurePerVoltRe[at]) + (kernel.PressurePerVoltIm[at] * kernel.PressurePerVoltIm[at])) * volt / 20e-6);
}
