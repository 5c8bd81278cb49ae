namespace XoverOpt.Acoustics.Kernel;

/// <summary>
/// The response of a candidate at every grid frequency, and its exact derivatives. The equations are those of
/// <see cref="PlainResponse"/>; three sums over the ways carry everything:
/// <code>
/// S₁ = Σ s/B    T = Y_L + Σ A/B    S₄ = Σ D/B
/// p/V = S₁/(T·A_load)   share_i = V (s_i/B_i)/(T·A_load)   Y_in = S₄ + S₁²/T   V = V_s/(1 + R_s·Y_in)
/// </code>
/// (C − AD/B = 1/B, because every chain's determinant is −1.) Derivatives follow from reciprocity, see <see cref="Four.ElementTangent"/>.
/// Vectorised across frequency, way by way; nothing is allocated.
/// </summary>
public static class EarpieceKernel
{
    /// <summary>Evaluates a candidate into <paramref name="workspace"/>.</summary>
    /// <param name="ways">The ways, at most <see cref="KernelWorkspace.MaxWays"/>.</param>
    /// <param name="ear">The ear.</param>
    /// <param name="source">What drives the socket.</param>
    /// <param name="workspace">Where results go.</param>
    /// <param name="parameters">Which values to differentiate by, grouped by way in rising order; empty for none.</param>
    /// <param name="scale">∂value/∂θ of each parameter: 1 for the value itself.</param>
    public static void Evaluate(
        ReadOnlySpan<KernelWay> ways,
        EarTable ear,
        Source source,
        KernelWorkspace workspace,
        ReadOnlySpan<KernelParameter> parameters,
        ReadOnlySpan<double> scale)
    {
        if (LaneWidth.IsEight(workspace.Grid.Count))
        {
            Eight.EarpieceLanes.Evaluate(ways, ear, source, workspace, parameters, scale);
        }
        else
        {
            Four.EarpieceLanes.Evaluate(ways, ear, source, workspace, parameters, scale);
        }
    }

    /// <summary>
    /// Fills ∂Y_in/∂θ of the last evaluation, which must have had the same parameters, at least at grid points
    /// [<paramref name="from"/>, <paramref name="to"/>). Few candidates need it, and those at few points.
    /// </summary>
    public static void AdmittanceTangents(
        ReadOnlySpan<KernelWay> ways,
        KernelWorkspace workspace,
        ReadOnlySpan<KernelParameter> parameters,
        ReadOnlySpan<double> scale,
        int from,
        int to)
    {
        for (int q = 0; q < parameters.Length; q++)
        {
            Four.ElementTangent.OfAdmittance(ways[parameters[q].Way], workspace, parameters[q], scale[q], q, from, to);
        }
    }
}
