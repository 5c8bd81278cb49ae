using XoverOpt.Acoustics.Figures;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>What too low an impedance and too little level cost.</summary>
internal static class LimitCost
{
    /// <summary>The penalty, the SPL at 100 mV and 500 Hz, dB, and the lowest impedance in the target band, Ω.</summary>
    public static (double Penalty, double Spl, double ImpedanceMin) Of(CostWorkspace workspace, NormalEquations? equations)
    {
        ProblemTables tables = workspace.Tables;
        KernelWorkspace kernel = workspace.Kernel;
        MagnitudeError band = tables.Magnitude;
        double lowest = double.PositiveInfinity, penalty = 0, least = tables.Problem.Limits.MinImpedance ?? 0;
        Array.Clear(workspace.RowWeights);
        Array.Clear(workspace.RowResiduals);
        bool low = false;
        for (int k = band.From; k < band.To; k++)
        {
            double ohm = 1 / Math.Sqrt((kernel.AdmittanceRe[k] * kernel.AdmittanceRe[k]) + (kernel.AdmittanceIm[k] * kernel.AdmittanceIm[k]));
            lowest = Math.Min(lowest, ohm);
            if (ohm < least)
            {
                low = true;
                double missing = 1 - (ohm / least), weight = CostFunction.BandPenalty * band.Band[k];
                penalty += weight * missing * missing;
                workspace.RowWeights[k] = weight * ohm * ohm / (least * least);
                workspace.RowResiduals[k] = -weight * missing * ohm / least;
            }
        }

        if (low && equations is not null)
        {
            equations.AddBlock(
                kernel.ImpedanceTangent, tables.Grid.Count, workspace.RowWeights, workspace.RowResiduals, workspace.Weighted, band.From, band.To);
        }

        int at = tables.Grid.Nearest(500);
        double spl = SplAt(kernel, at, 0.1);
        double shortBy = Math.Max((tables.Problem.Limits.MinSplAt100mV ?? double.NegativeInfinity) + 0.05 - spl, 0);
        if (shortBy > 0 && equations is not null && equations.Count > 0)
        {
            Span<double> row = stackalloc double[equations.Count];
            for (int p = 0; p < row.Length; p++)
            {
                row[p] = -MagnitudeError.DbPerNeper * kernel.SensitivityTangent[(p * tables.Grid.Count) + at];
            }

            equations.Add(shortBy, row);
        }

        return (penalty + (shortBy * shortBy), spl, lowest);
    }

    /// <summary>Eardrum SPL at a grid point for a voltage at the socket, dB re 20 µPa.</summary>
    public static double SplAt(KernelWorkspace kernel, int at, double volt) =>
        20 * Math.Log10(Math.Sqrt((kernel.PressurePerVoltRe[at] * kernel.PressurePerVoltRe[at]) + (kernel.PressurePerVoltIm[at] * kernel.PressurePerVoltIm[at])) * volt / 20e-6);
}
