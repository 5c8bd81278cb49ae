using System.Data.Common;
using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Api;

/// <summary>Errors as problem details (RFC 9457), each with a list of faults; never a stack trace.</summary>
internal static class ApiProblems
{
    private const string Faults = "faults";

    /// <summary>Makes problem details of every error, also of those the framework finds.</summary>
    public static void AddApiProblems(this IServiceCollection services) => services.AddProblemDetails(options =>
        options.CustomizeProblemDetails = context =>
        {
            context.ProblemDetails.Extensions.TryAdd(Faults, Known(context.ProblemDetails.Status, context.HttpContext.Request));
            if (context.Exception is BadHttpRequestException bad)
            {
                context.ProblemDetails.Detail = bad.Message;
            }
            else if (context.ProblemDetails is { Status: StatusCodes.Status404NotFound, Detail: null })
            {
                HttpRequest request = context.HttpContext.Request;
                context.ProblemDetails.Detail = $"There is no {request.Method} {request.Path}; what there is stands at /openapi/v1.json.";
            }
            else if (context.ProblemDetails.Status == StatusCodes.Status503ServiceUnavailable)
            {
                context.ProblemDetails.Detail = "The store does not answer just now; try again. What was acknowledged before is kept.";
            }
            else if (context.ProblemDetails.Status == StatusCodes.Status500InternalServerError)
            {
                context.ProblemDetails.Detail = "Something unforeseen went wrong; the log of the worker has it. What was acknowledged before is kept.";
            }
        });

    /// <summary>Catches what the routes let through.</summary>
    public static void UseApiProblems(this WebApplication app)
    {
        app.UseExceptionHandler(new ExceptionHandlerOptions
        {
            StatusCodeSelector = failure => failure switch
            {
                BadHttpRequestException bad => bad.StatusCode,
                DbException or StoreException => StatusCodes.Status503ServiceUnavailable,
                _ => StatusCodes.Status500InternalServerError,
            },
            SuppressDiagnosticsCallback = context => context.Exception is BadHttpRequestException,
        });
        app.UseStatusCodePages();
    }

    private static FaultView[] Known(int? status, HttpRequest request) => status switch
    {
        StatusCodes.Status413PayloadTooLarge => [new FaultView("", "a larger body", "at most 8 MB")],
        StatusCodes.Status415UnsupportedMediaType => [new FaultView("Content-Type", request.ContentType ?? "nothing", "application/json")],
        _ => [],
    };

    /// <summary>A wrong request.</summary>
    public static ProblemHttpResult Refuse(string detail, IEnumerable<FaultView> faults, int status = StatusCodes.Status400BadRequest) =>
        TypedResults.Problem(detail, statusCode: status, extensions: [new(Faults, faults.ToArray())]);

    /// <summary>A run or build that is not there.</summary>
    public static ProblemHttpResult NotFound(string detail) => TypedResults.Problem(detail, statusCode: StatusCodes.Status404NotFound);
}
