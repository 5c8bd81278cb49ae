using System.Numerics;

namespace XoverOpt.Acoustics.Kernel;

/// <summary>
/// Results of the kernel for one candidate, reused from candidate to candidate; one a thread. All arrays are flat and
/// frequency-major: row r of a plane with n frequencies stands at [r·n, (r+1)·n).
/// </summary>
public sealed class KernelWorkspace
{
    /// <summary>Most ways of a candidate.</summary>
    public const int MaxWays = 8;

    /// <summary>Most continuous values of a candidate whose bores are given.</summary>
    public const int MaxValues = 40;

    /// <summary>Most values to differentiate by: a bore a way may be free too.</summary>
    public const int MaxParameters = MaxValues + MaxWays;

    /// <summary>Makes room for a grid.</summary>
    /// <param name="grid">The grid.</param>
    /// <param name="motors">
    /// Whether chains are also cut at the coils' leads and at the diaphragms; receivers must then come from <see cref="ReceiverTable.WithMotor"/>.
    /// </param>
    public KernelWorkspace(FrequencyGrid grid, bool motors = false)
    {
        MotorCuts = motors ? new(4 * MaxWays, grid.Count) : null;
        Grid = grid;
        int n = grid.Count;
        PressureRe = AlignedArray.Of(n);
        PressureIm = AlignedArray.Of(n);
        PressurePerVoltRe = AlignedArray.Of(n);
        PressurePerVoltIm = AlignedArray.Of(n);
        AdmittanceRe = AlignedArray.Of(n);
        AdmittanceIm = AlignedArray.Of(n);
        ShareRe = AlignedArray.Of(MaxWays * n);
        ShareIm = AlignedArray.Of(MaxWays * n);
        PressureTangentRe = AlignedArray.Of(MaxParameters * n);
        PressureTangentIm = AlignedArray.Of(MaxParameters * n);
        CommonTangentRe = AlignedArray.Of(MaxParameters * n);
        CommonTangentIm = AlignedArray.Of(MaxParameters * n);
        OwnTangentRe = AlignedArray.Of(MaxParameters * n);
        OwnTangentIm = AlignedArray.Of(MaxParameters * n);
        AdmittanceTangentRe = AlignedArray.Of(MaxParameters * n);
        AdmittanceTangentIm = AlignedArray.Of(MaxParameters * n);
        LoadingRe = AlignedArray.Of(n);
        LoadingIm = AlignedArray.Of(n);
        CouplingRe = AlignedArray.Of(n);
        CouplingIm = AlignedArray.Of(n);
        Driven = new(MaxWays, n);
        Acoustic = new(MaxWays, n);
        Electric = new(MaxWays, n);
        Fraction = new(MaxWays, n);
        Left = new(MaxParameters, n);
        Right = new(MaxParameters, n);
        LeftAcross = new(MaxParameters, n);
        RightAcross = new(MaxParameters, n);
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

    /// <summary>∂Y_in/∂θ, S, real part; only where <see cref="EarpieceKernel.AdmittanceTangents"/> was asked for it.</summary>
    public double[] AdmittanceTangentRe { get; }

    /// <summary>∂Y_in/∂θ, imaginary part.</summary>
    public double[] AdmittanceTangentIm { get; }

    /// <summary>ρ = R_s/(1 + R_s Y_in), Ω; like what follows, only after an evaluation with parameters.</summary>
    internal double[] LoadingRe { get; }

    internal double[] LoadingIm { get; }

    /// <summary>S₁²/T, S.</summary>
    internal double[] CouplingRe { get; }

    internal double[] CouplingIm { get; }

    /// <summary>Per way: L₀₀ and R₁₁/B at the coils' leads, L₀₀ and R₁₁/B at the diaphragms; null where not asked for.</summary>
    internal Planes? MotorCuts { get; }

    /// <summary>s/B of each way.</summary>
    internal Planes Driven { get; }

    /// <summary>A/B of each way.</summary>
    internal Planes Acoustic { get; }

    /// <summary>D/B of each way.</summary>
    internal Planes Electric { get; }

    /// <summary>(s/B)/S₁ of each way.</summary>
    internal Planes Fraction { get; }

    /// <summary>L₀₀ (in line) or L₀₁ (across) at the element of each parameter.</summary>
    internal Planes Left { get; }

    /// <summary>R₁₁/B (in line) or R₀₁/B (across) at the element of each parameter.</summary>
    internal Planes Right { get; }

    /// <summary>L₀₁ at the end of a tube piece, whose length works both in line and across.</summary>
    internal Planes LeftAcross { get; }

    /// <summary>R₀₁/B at the end of a tube piece.</summary>
    internal Planes RightAcross { get; }

    /// <summary>∂ ln|p/V|/∂θ with the voltage held at the socket: ∂ ln V = −ρ ∂Y_in is taken out of ∂ ln p. Needs ∂Y_in/∂θ there.</summary>
    public double SensitivityTangent(int parameter, int k, Source source)
    {
        int at = (parameter * Grid.Count) + k;
        Complex loading = source.Resistance / (1 + (source.Resistance * new Complex(AdmittanceRe[k], AdmittanceIm[k])));
        return PressureTangentRe[at] + (loading * new Complex(AdmittanceTangentRe[at], AdmittanceTangentIm[at])).Real;
    }

    /// <summary>∂ ln|Z|/∂θ of the socket impedance, from ∂Y_in/∂θ.</summary>
    public double ImpedanceTangent(int parameter, int k)
    {
        int at = (parameter * Grid.Count) + k;
        double re = AdmittanceRe[k], im = AdmittanceIm[k];
        return -((re * AdmittanceTangentRe[at]) + (im * AdmittanceTangentIm[at])) / ((re * re) + (im * im));
    }

    /// <summary>Row of a plane.</summary>
    public Span<double> Row(double[] plane, int row) => plane.AsSpan(row * Grid.Count, Grid.Count);
}
