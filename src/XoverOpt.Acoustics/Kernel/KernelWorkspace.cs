namespace XoverOpt.Acoustics.Kernel;

/// <summary>
/// Results of the kernel for one candidate, reused from candidate to candidate; one a thread. All arrays are flat and
/// frequency-major: row r of a plane with n frequencies stands at [r·n, (r+1)·n).
/// </summary>
public sealed class KernelWorkspace
{
    /// <summary>Most ways of a candidate.</summary>
    public const int MaxWays = 8;

    /// <summary>Most continuous values of a candidate.</summary>
    public const int MaxParameters = 40;

    /// <summary>Makes room for a grid.</summary>
    public KernelWorkspace(FrequencyGrid grid)
    {
        Grid = grid;
        int n = grid.Count;
        PressureRe = new double[n];
        PressureIm = new double[n];
        PressurePerVoltRe = new double[n];
        PressurePerVoltIm = new double[n];
        AdmittanceRe = new double[n];
        AdmittanceIm = new double[n];
        ShareRe = new double[MaxWays * n];
        ShareIm = new double[MaxWays * n];
        PressureTangentRe = new double[MaxParameters * n];
        PressureTangentIm = new double[MaxParameters * n];
        CommonTangentRe = new double[MaxParameters * n];
        CommonTangentIm = new double[MaxParameters * n];
        OwnTangentRe = new double[MaxParameters * n];
        OwnTangentIm = new double[MaxParameters * n];
        SensitivityTangent = new double[MaxParameters * n];
        ImpedanceTangent = new double[MaxParameters * n];
    }

    /// <summary>The grid.</summary>
    public FrequencyGrid Grid { get; }

    /// <summary>Eardrum pressure, Pa RMS, real part.</summary>
    public double[] PressureRe { get; }

    /// <summary>Eardrum pressure, imaginary part.</summary>
    public double[] PressureIm { get; }

    /// <summary>Eardrum pressure per volt at the socket, Pa/V, real part.</summary>
    public double[] PressurePerVoltRe { get; }

    /// <summary>Eardrum pressure per volt at the socket, imaginary part.</summary>
    public double[] PressurePerVoltIm { get; }

    /// <summary>Socket admittance, S, real part.</summary>
    public double[] AdmittanceRe { get; }

    /// <summary>Socket admittance, imaginary part.</summary>
    public double[] AdmittanceIm { get; }

    /// <summary>Share of each way (a row a way), Pa RMS, real part.</summary>
    public double[] ShareRe { get; }

    /// <summary>Share of each way, imaginary part.</summary>
    public double[] ShareIm { get; }

    /// <summary>∂ ln p/∂θ (a row a parameter): real part is the change of ln|p|, imaginary part of its phase.</summary>
    public double[] PressureTangentRe { get; }

    /// <summary>∂ ln p/∂θ, imaginary part.</summary>
    public double[] PressureTangentIm { get; }

    /// <summary>∂ ln(share)/∂θ that every way's share has in common, real part.</summary>
    public double[] CommonTangentRe { get; }

    /// <summary>∂ ln(share)/∂θ in common, imaginary part.</summary>
    public double[] CommonTangentIm { get; }

    /// <summary>What the share of the parameter's own way changes beyond that, real part.</summary>
    public double[] OwnTangentRe { get; }

    /// <summary>What the share of the parameter's own way changes beyond that, imaginary part.</summary>
    public double[] OwnTangentIm { get; }

    /// <summary>∂ ln|p/V|/∂θ with the voltage held at the socket.</summary>
    public double[] SensitivityTangent { get; }

    /// <summary>∂ ln|Z|/∂θ of the socket impedance.</summary>
    public double[] ImpedanceTangent { get; }

    /// <summary>Row of a plane.</summary>
    public Span<double> Row(double[] plane, int row) => plane.AsSpan(row * Grid.Count, Grid.Count);
}
